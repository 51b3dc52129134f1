package xlsx

import "pitlist/score/say"

// stringsForm checks the shared strings and hands them to add in their order
// (ECMA-376 part 1, 18.4.9 sst).
type stringsForm struct {
	add func(text []byte) error // valid during the call
	n   int                     // strings so far
	max int64                   // bytes of one

	at      place
	back    place
	skipped int
	root    bool
	text    []byte
	state   textState
}

func newStringsForm(limits Limits, add func(text []byte) error) *stringsForm {
	return &stringsForm{add: add, max: limits.RecordBytes}
}

func (f *stringsForm) whole() bool { return f.root && f.at == outside }

func (f *stringsForm) place() say.Text { return say.F("at shared string %d", f.n) }

func (f *stringsForm) start(local []byte, _ []attr) error {
	name := string(local)
	switch f.at {
	case outside:
		if f.root || name != "sst" {
			return damaged(say.F("<%s> in place of <sst>", short(local)))
		}
		f.root, f.at = true, inRoot
	case inRoot:
		if name == "si" {
			f.at, f.text, f.state = inString, f.text[:0], textState{}
			return nil
		}
		if name != "extLst" {
			return damaged(say.F("<%s> among the shared strings", short(local)))
		}
		f.back, f.at, f.skipped = inRoot, inOther, 1
	case inString, inRun:
		next, err := f.state.enter(f.at, local, len(f.text))
		if err != nil {
			return err
		}
		if next == inOther {
			f.skipped = 1
		}
		if next != inRun {
			f.back = f.at
		}
		f.at = next
	case inOther:
		// Spooled, excelize counts a <si> at any depth.
		if name == "si" {
			return damaged(say.F("<si> at a wrong place"))
		}
		if f.skipped++; f.skipped > maxDepth {
			return tooDeep()
		}
	default:
		return damaged(say.F("<%s> inside the text of shared string %d", short(local), f.n))
	}
	return nil
}

func (f *stringsForm) end() error {
	switch f.at {
	case inRoot:
		f.at = outside
	case inString:
		f.at = inRoot
		f.n++
		return f.add(unescape(f.text, 0))
	case inRun:
		f.at = inString
	case inText:
		f.state.leave(f.back, f.text)
		f.at = f.back
	case inOther:
		if f.skipped--; f.skipped == 0 {
			f.at = f.back
		}
	}
	return nil
}

func (f *stringsForm) chars(b []byte) error {
	switch f.at {
	case inText:
		if int64(len(f.text)+len(b)) > f.max {
			return overLimit(say.F("bytes of shared string %d are over the limit of %d (job file: %s)", f.n, f.max, "limits.record_bytes"))
		}
		f.text = append(f.text, b...)
	case outside, inRoot, inString, inRun:
		if !blank(b) {
			return damaged(say.F("text %s where none may stand, at shared string %d", cut(b), f.n))
		}
	}
	return nil
}
