package ingest

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
)

// question is what a sheet leaves open and the job can settle.
type question struct {
	text    say.Text
	column  string // the heading, where one column is meant
	choices []header.Choice
	dates   bool       // the order of day and month
	unit    value.Unit // of the odometer, as a guess
}

// ask makes one message of all that the sheets of a file leave open, with one
// line that can be pasted into the job and corrected there.
func (f *file) ask() {
	var first *sheet
	var all []question
	for _, s := range f.sheets {
		if len(s.open) > 0 && first == nil {
			first = s
		}
		for _, q := range s.open {
			if s != first {
				q.text = say.F("sheet %s: %s", s.view.Source.Sheet, q.text)
			}
			all = append(all, q)
		}
	}
	if first == nil {
		return
	}
	i := score.Issue{Severity: score.Noted, Ref: score.Ref{Row: int32(first.view.Heading)}, Reason: all[0].text}
	if len(all) == 1 {
		i.Column = all[0].column
	} else {
		texts := make([]say.Text, len(all))
		for n, q := range all {
			texts[n] = say.F("(%d) %s", n+1, q.text)
		}
		i.Reason = say.F("%d things cannot be told: %s", len(all), say.Join("; ", texts...))
	}
	i.Suggestion = say.F("settle it in the job; this line goes under inputs, in the place of one with the same path: %s", f.line())
	first.tell(i)
}

// line is the entry of the job's inputs that answers what is open, with a
// first guess for each answer.
func (f *file) line() string {
	var sheets []string
	for _, s := range f.sheets {
		if text := s.answer(); text != "" {
			sheets = append(sheets, text)
		}
	}
	password := ""
	if f.input.PasswordEnv != "" {
		password = ", password_env: " + f.input.PasswordEnv
	}
	return fmt.Sprintf("- { path: %s%s, sheets: [ %s ] }", Quoted(PathPattern(f.input.shown())), password, strings.Join(sheets, ", "))
}

// answer is the sheet's entry in the job: what the job says already, and a
// guess for what is open. Empty where there is neither.
func (s *sheet) answer() string {
	columns, order, unit := map[string]string{}, string(s.told.DateOrder), s.told.OdometerUnit
	for h, field := range s.told.Columns {
		columns[h] = field
	}
	for _, q := range s.open {
		for _, c := range q.choices {
			if columns[c.Heading] = columnName(c.Field); c.Day != "" && c.Field == header.OdometerByMonth {
				columns[c.Heading] += " " + c.Day
			}
		}
		if q.dates && order == "" {
			order = string(value.DayFirst)
		}
		if unit == "" {
			unit = q.unit
		}
	}
	var parts []string
	if name := s.view.Source.Sheet; name != "" {
		parts = append(parts, "name: "+Quoted(name))
	}
	if len(s.told.Holds) > 0 {
		kinds := make([]string, len(s.told.Holds))
		for i, k := range s.told.Holds {
			kinds[i] = string(k)
		}
		parts = append(parts, "holds: ["+strings.Join(kinds, ", ")+"]")
	}
	if s.told.HeaderRow > 0 {
		parts = append(parts, fmt.Sprintf("header_row: %d", s.told.HeaderRow))
	}
	if len(columns) > 0 {
		parts = append(parts, "columns: { "+strings.Join(columnPairs(columns), ", ")+" }")
	}
	if unit != "" {
		parts = append(parts, "odometer_unit: "+unit)
	}
	if order != "" {
		parts = append(parts, "date_order: "+order)
	}
	if len(s.open) == 0 && !s.toldAnything() {
		return ""
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}

func (s *sheet) toldAnything() bool {
	t := s.told
	return len(t.Columns) > 0 || len(t.Holds) > 0 || t.HeaderRow > 0 || t.OdometerUnit != "" || t.DateOrder != ""
}

func columnPairs(columns map[string]string) []string {
	var out []string
	for h, field := range columns {
		out = append(out, Quoted(h)+": "+Quoted(field))
	}
	slices.Sort(out)
	return out
}

// columnName is the field as the job writes it.
func columnName(f header.Field) string {
	if f == header.Ignore {
		return "ignore"
	}
	return string(f)
}

// Quoted writes a text as YAML does between double quotation marks (YAML
// 1.2.2, 5.7); a plain word stays plain.
func Quoted(s string) string {
	if plainWord(s) {
		return s
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < ' ' || r == 0x7F || r >= 0x80 && !strconv.IsPrint(r):
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// plainWord sees what YAML reads as a text without quotation marks: letters
// with _ and . among them, and none of the words that mean something else.
func plainWord(s string) bool {
	switch strings.ToLower(s) {
	case "", "true", "false", "yes", "no", "on", "off", "null", "y", "n":
		return false
	}
	for i, r := range s {
		if (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (i == 0 || (r < '0' || r > '9') && r != '_') {
			return false
		}
	}
	return true
}

// PathPattern writes a path so that a job's pattern means this path and no
// other: the marks of patterns stand in brackets.
func PathPattern(path string) string {
	return strings.NewReplacer("[", "[[]", "*", "[*]", "?", "[?]").Replace(path)
}
