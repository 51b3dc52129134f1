package xlsx

// stringsForm checks the shared strings and notes which are empty, since a cell that
// points to an empty one holds nothing (ECMA-376 part 1, 18.4.9 sst).
type stringsForm struct {
	blank []bool // per string

	at      place
	back    place
	skipped int
	root    bool
	filled  bool // the string has text
	texts   textState
}

func (f *stringsForm) reset() { *f = stringsForm{blank: f.blank[:0]} }

func (f *stringsForm) whole() bool { return f.root && f.at == outside }

func (f *stringsForm) start(local []byte, _ []attr) error {
	name := string(local)
	switch f.at {
	case outside:
		if f.root || name != "sst" {
			return damagedf("<%s> in place of <sst>", local)
		}
		f.root, f.at = true, inRoot
	case inRoot:
		if name == "si" {
			f.at, f.filled, f.texts = inString, false, textState{}
			return nil
		}
		if name != "extLst" {
			return damagedf("<%s> among the shared strings", local)
		}
		f.back, f.at, f.skipped = inRoot, inOther, 1
	case inString, inRun:
		next, err := f.texts.enter(f.at, local)
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
			return damagedf("<si> at a wrong place")
		}
		f.skipped++
	default:
		return damagedf("<%s> inside the text of shared string %d", local, len(f.blank))
	}
	return nil
}

func (f *stringsForm) end() error {
	switch f.at {
	case inRoot:
		f.at = outside
	case inString:
		f.at = inRoot
		f.blank = append(f.blank, !f.filled)
	case inRun:
		f.at = inString
	case inText:
		f.at = f.back
	case inOther:
		if f.skipped--; f.skipped == 0 {
			f.at = f.back
		}
	}
	return nil
}

func (f *stringsForm) text(b []byte) error {
	switch f.at {
	case inText:
		f.filled = true
	case outside, inRoot, inString, inRun:
		if !blank(b) {
			return damagedf("text %.20q where none may stand, at shared string %d", b, len(f.blank))
		}
	}
	return nil
}
