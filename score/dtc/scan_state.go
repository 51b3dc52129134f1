package dtc

import "strings"

// assignStates gives each code its state from the words around it and puts
// the readings into the cell. A state stands behind its code ("P0301
// (pending)", "P0301 PD") or as a heading before several ("Pending: P0301,
// P0302; Stored: P0420").
func (s *scanner) assignStates() {
	var heading, once State
	from := 0
	for i, sp := range s.spans {
		// What stands between two codes belongs partly to each.
		lead := s.text[from:max(from, sp.start)]
		if i > 0 {
			_, lead = splitLead(lead)
		}
		once = ""
		if state, sticky := leadState(lead); sticky {
			heading = state
		} else {
			once = state
		}
		if sp.code.Valid() {
			next := len(s.text)
			if i+1 < len(s.spans) {
				next = max(sp.end, s.spans[i+1].start)
			}
			behind := s.text[min(sp.end, next):next]
			if i+1 < len(s.spans) {
				behind, _ = splitLead(behind)
			}
			state := firstState(stateBehind(behind), once, heading)
			s.cell.Codes = addReading(s.cell.Codes, Reading{Code: sp.code, State: state})
		}
		from = sp.end
	}
}

func firstState(states ...State) State {
	for _, st := range states {
		if st != "" {
			return st
		}
	}
	return ""
}

// splitLead divides the words between two codes: up to the last separator
// they belong to the code before, the rest to the one after. Without a
// separator all of it belongs to the code before, unless it ends as a heading.
func splitLead(between string) (behind, lead string) {
	cut := strings.LastIndexAny(between, ",;|\n/")
	if cut < 0 {
		trimmed := strings.TrimSpace(between)
		if strings.HasSuffix(trimmed, ":") && strings.IndexByte(trimmed, ' ') < 0 {
			return "", between
		}
		return between, ""
	}
	return between[:cut], between[cut+1:]
}

// leadState reads the state before a code; sticky if it is a heading with a
// colon, which holds until the next heading.
func leadState(lead string) (state State, sticky bool) {
	trimmed := strings.TrimSpace(lead)
	if trimmed == "" {
		return "", false
	}
	words := strings.Fields(foldWords(trimmed))
	for len(words) > 0 && labels[upperASCII(words[len(words)-1])] {
		words = words[:len(words)-1]
	}
	for from := max(0, len(words)-3); from < len(words); from++ {
		if st, ok := stateWords[strings.Join(words[from:], " ")]; ok {
			return st, strings.HasSuffix(trimmed, ":")
		}
	}
	return "", false
}

// stateBehind reads the state behind a code: in brackets anywhere, as the
// first words, or as the last words of a piece. Words in the middle of a
// description ("active grille shutter") say nothing about the state.
func stateBehind(behind string) State {
	if strings.TrimSpace(behind) == "" {
		return ""
	}
	if st := bracketState(behind); st != "" {
		return st
	}
	for _, piece := range strings.FieldsFunc(behind, func(r rune) bool { return strings.ContainsRune(",;|\n/()[]", r) }) {
		words := strings.Fields(foldWords(piece))
		for n := min(3, len(words)); n > 0; n-- {
			if st, ok := stateWords[strings.Join(words[:n], " ")]; ok {
				return st
			}
			if st, ok := stateWords[strings.Join(words[len(words)-n:], " ")]; ok {
				return st
			}
		}
	}
	return ""
}

// bracketState looks for a state inside (…), […] or {…}.
func bracketState(text string) State {
	for {
		open := strings.IndexAny(text, "([{")
		if open < 0 {
			return ""
		}
		text = text[open+1:]
		end := strings.IndexAny(text, ")]}")
		if end < 0 {
			end = len(text)
		}
		for _, part := range strings.FieldsFunc(text[:end], func(r rune) bool { return strings.ContainsRune(",;/", r) }) {
			if st, ok := stateWords[foldWords(part)]; ok {
				return st
			}
		}
		text = text[end:]
	}
}
