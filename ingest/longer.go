package ingest

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
)

// behindUnit are the marks that people put between a unit and what they write
// behind it in the same cell.
var behindUnit = []string{" - ", " – ", " — ", " / ", " | ", ": ", " (", ", "}

// longestFront bounds a unit in front of more.
const longestFront = 15

// frontOf takes "U1 - Northfold Heron" apart: one word with a figure in it, and
// words behind a mark.
func frontOf(unit string) (front, rest string, ok bool) {
	at, mark := -1, ""
	for _, m := range behindUnit {
		if i := strings.Index(unit, m); i > 0 && (at < 0 || i < at) {
			at, mark = i, m
		}
	}
	if at < 0 || at > longestFront {
		return "", "", false
	}
	front, rest = strings.TrimSpace(unit[:at]), strings.Trim(unit[at+len(mark):], " )")
	return front, rest, !strings.ContainsAny(front, " \t") && hasDigit(front) && hasWord(rest)
}

// hasWord sees three letters in a row.
func hasWord(s string) bool {
	run := 0
	for _, r := range s {
		if !unicode.IsLetter(r) {
			run = 0
		} else if run++; run == 3 {
			return true
		}
	}
	return false
}

// byLonger looks for the one vehicle that a unit means where one sheet writes
// make and model behind the unit, in the same cell, and another does not. What
// stands behind the unit of the row must name the vehicle's model.
func (j *joiner) byLonger(s *sheet, r *namedRow) []int32 {
	if j.fronts == nil {
		j.learnFronts()
	}
	list := j.fronts.list(j.units.id(r.unit))
	if front, rest, ok := frontOf(r.unit); len(list) == 0 && ok {
		list = slices.DeleteFunc(slices.Clone(j.byUnit.list(j.units.id(front))), func(n int32) bool {
			model := j.fleet.Vehicles[n].Model
			return model == "" || !strings.Contains(value.Fold(rest), value.Fold(model))
		})
	}
	if plain := withoutCall(r.unit); len(list) == 0 && plain != "" {
		list = j.byUnit.list(j.units.id(plain))
	}
	if len(list) != 1 {
		return nil
	}
	s.longer.add(r.unit, j.fleet.Vehicles[list[0]].Unit)
	return list
}

// calls are words that people write before a unit in its own cell, folded.
var calls = []string{"unit no.", "unit", "vehicle no.", "vehicle", "veh.", "veh", "fleet no.", "fleet", "no.", "nr.", "#", "van", "bus", "truck", "fzg.", "fahrzeug", "wagen", "unidad", "unité", "vehicule", "vehiculo"}

// withoutCall is the unit in "Unit 101" and "#101"; "" where no such word
// stands before one.
func withoutCall(unit string) string {
	folded := value.Fold(unit)
	for _, w := range calls {
		if rest, ok := strings.CutPrefix(folded, w); ok {
			if rest = strings.TrimSpace(rest); rest != "" && hasDigit(rest[:1]) {
				return rest
			}
		}
	}
	return ""
}

func (j *joiner) learnFronts() {
	fronts := newIndex[string](0)
	for n := range j.fleet.Vehicles {
		if front, _, ok := frontOf(j.fleet.Vehicles[n].Unit); ok {
			fronts.add(j.units.id(front), int32(n))
		}
	}
	j.fronts = &fronts
}

// unitsHoldMore looks for units with more than the unit in the cell, where no
// column says what the vehicles are.
func (s *sheet) unitsHoldMore(rows [][]string) {
	cols := s.at[header.Unit]
	if len(cols) == 0 || len(s.at[header.Model]) > 0 || !s.view.Layout.Has(header.Vehicles) {
		return
	}
	names, longer, example := 0, 0, ""
	for _, row := range rows {
		unit := cols[0].cell(row)
		if unit == "" {
			continue
		}
		names++
		if _, _, ok := frontOf(unit); ok {
			longer++
			example = unit
		}
	}
	if longer >= 2 && longer*5 >= names*4 {
		s.more = clip(example)
	}
}

// tellUnits says so.
func (s *sheet) tellUnits() {
	if s.more != "" {
		s.tell(score.Issue{Severity: score.Noted, Column: s.at[header.Unit][0].Heading, Value: s.more, Ref: score.Ref{Row: int32(s.view.Heading)},
			Reason: say.F("the cells hold more than the unit; if it is make and model, these are not read"), Suggestion: say.F("give unit, make and model a column each")})
	}
}

// carriedRow is a row whose text was added to that of a row above.
type carriedRow struct{ slot, of int32 }

// carriesOn joins a row that holds nothing but a text to the row above, whose
// text it carries on, and tells of it. A text that something parts from the row
// above is none of that row's.
func (c *converter) carriesOn() bool {
	prev := c.prev
	c.prev = textRow{}
	if prev.slot+1 != c.slot || prev.num == 0 || !c.sheet.text && prev.num+1 != c.num || c.filledCells() != 1 || header.IsTotal(c.cells) {
		return false
	}
	var have *string
	var cell string
	if cols := c.at[header.Text]; len(cols) > 0 && cols[0].cell(c.cells) != "" && c.repairs.len() > 0 {
		if f := c.repairs.at(int32(c.repairs.len() - 1)); f.row == prev.row {
			have, cell = &f.what.Text, cols[0].cell(c.cells)
		}
	} else if cols := c.at[header.Remarks]; len(cols) == 1 && cols[0].cell(c.cells) != "" && c.remarks.len() > 0 {
		if f := c.remarks.at(int32(c.remarks.len() - 1)); f.row == prev.row {
			have, cell = &f.what.Text, cols[0].cell(c.cells)
		}
	}
	if have == nil {
		return false
	}
	*have = c.memory.intern(*have + joint(*have, cell) + cell)
	c.carried = append(c.carried, carriedRow{c.slot, prev.of})
	c.mention(nil, cell, score.Noted, say.F("carries on the text of row %d, to which it was added", int(prev.first)), say.F("if it is of its own, name its vehicle on the row"))
	prev.slot, prev.num = c.slot, c.num
	c.prev = prev
	return true
}

// textRow is the last row that named a vehicle, with those that carried it on.
type textRow struct {
	slot, num int32 // of the last of them
	of, first int32 // slot and number of the row that named the vehicle
	row       int32 // its index in sheet.named
}

// joint is what joins two lines: a blank within a sentence, else a line end.
func joint(above, below string) string {
	last, _ := utf8.DecodeLastRuneInString(above)
	first, _ := utf8.DecodeRuneInString(below)
	if strings.ContainsRune(",-–/&+(", last) || !strings.ContainsRune(".!?", last) && !unicode.IsUpper(first) {
		return " "
	}
	return "\n"
}

// settleCarried gives rows that carry on another's text the fate of that row.
func (s *sheet) settleCarried() {
	for _, r := range s.carried {
		switch class := s.classes[r.of]; class {
		case isUsed, isMerged:
			s.raise(r.slot, isMerged)
		default:
			s.raise(r.slot, isSetAside)
		}
	}
	s.carried = nil
}
