package dtc

import "strings"

// assignStates gives each code its state from the words around it and puts
// the readings into the cell. A state stands behind its code ("P0301
// (pending)", "P0301 PD") or as a heading before several ("Pending: P0301,
// P0302; Stored: P0420").
func (s *scanner) assignStates() {
	if len(s.spans) == 0 {
		return
	}
	lead := s.text[:s.spans[0].start]
	heading, sticky := leadState(lead)
	// A cell that opens with a state on a line of its own has such headings
	// throughout; else a lone state belongs to the code above it.
	headed := heading != "" && strings.Contains(lead, "\n")
	once := heading
	if !sticky && !headed {
		heading = ""
	}
	for i, sp := range s.spans {
		next := len(s.text)
		if i+1 < len(s.spans) {
			next = s.spans[i+1].start
		}
		behind, lead := s.text[min(sp.end, next):next], ""
		if i+1 < len(s.spans) {
			behind, lead = splitLead(behind, headed)
		}
		if sp.code.Valid() {
			state := firstState(stateBehind(behind), once, heading)
			s.cell.Codes = addReading(s.cell.Codes, Reading{Code: sp.code, State: state})
		}
		once, sticky = leadState(lead)
		if once != "" && (sticky || headed) {
			heading = once
		}
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
// Line ends behind a heading do not count.
func splitLead(between string, headed bool) (behind, lead string) {
	trimmed := strings.TrimRight(between, " \t\n")
	heading := strings.HasSuffix(trimmed, ":")
	if heading || headed && strings.HasSuffix(between, "\n") {
		between = trimmed
	}
	cut := strings.LastIndexAny(between, ",;|\n/")
	switch {
	case cut >= 0:
		return between[:cut], between[cut+1:]
	case heading && strings.IndexByte(strings.TrimSpace(between), ' ') < 0:
		return "", between
	}
	return between, ""
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
		// "Stored: none" is a heading over nothing, "status: pending" a state.
		piece = piece[strings.LastIndexByte(piece, ':')+1:]
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
