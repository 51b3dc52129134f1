package header

import (
	"slices"
	"strconv"
	"strings"

	"pitlist/score/say"
)

// settle decides for each column, in six steps: what the values say, what kinds of rows the sheet holds, each column's best claim, pairs of
// columns that belong together, rivals for one field, and what is to be asked of what was left.
func (s *sheet) settle() {
	s.vinPieces()
	s.byValues()
	s.months()
	s.longForm()
	s.findingsAcross()
	s.kinds = s.infer()
	s.statusOfWork()
	choice := make([]claim, len(s.cols))
	for i := range s.cols {
		choice[i] = s.choose(i)
	}
	s.closingDay(choice)
	s.bothEnds(choice)
	for _, f := range append(Fields(), Measured) {
		if !f.Several() {
			s.rivals(f, choice)
		}
	}
	s.dateOfOdometer(choice)
	s.unitOfMonths(choice)
	for i := range s.cols {
		s.finish(i, choice[i])
	}
	s.secondHeading()
	s.otherOdometer()
	s.dayOfReading()
	s.undatedOdometer()
	s.desc = !slices.Contains(s.kinds, Vehicles) && slices.ContainsFunc(choice, func(c claim) bool { return slices.Contains(described, c.field) })
}

// choose returns the best claim that the kinds allow; none if two are equal or the column holds several things.
func (s *sheet) choose(i int) claim {
	if s.matches[i].combined && !s.isTold(i) && s.cols[i].Why == s.matches[i].why {
		s.ambiguous(i)
		return claim{}
	}
	open := s.open(i)
	if hasClaim(open, State) && hasClaim(open, Status) && rankOf(open) != told {
		if f := s.stateOrStatus(i); f != Ignore {
			s.cols[i].Why = "the words underneath"
			return claim{f, strong, ""}
		}
		s.problem([]int{i}, []Field{Status, State}, say.F("%s may be the vehicle's status or the code's state", strconv.Quote(s.cols[i].Heading)))
		return claim{}
	}
	if hasClaim(open, State) && rankOf(open) != told && s.allowed(Status) && s.stateOrStatus(i) == Status {
		s.cols[i].Why = "the words underneath" // "State: closed" on a list of work orders
		return claim{Status, strong, ""}
	}
	if s.someSerial(i, open) {
		s.cols[i].Why = "a serial, and nothing says of what"
		return claim{}
	}
	open = s.ownFirst(open)
	switch {
	case len(open) == 0:
		return claim{}
	case len(open) > 1 && open[1].rank == open[0].rank:
		s.problem([]int{i}, fieldsOf(open), say.F("%s may be %s", strconv.Quote(s.cols[i].Heading), orList(fieldsOf(open))))
		return claim{}
	}
	return open[0]
}

// someSerial reports a mere "Serial" on a sheet of events: the vehicle's where VINs stand underneath, else the engine's or that of the part that was
// looked at or fitted.
func (s *sheet) someSerial(i int, open []claim) bool {
	return !slices.Contains(s.kinds, Vehicles) && rankOf(open) != told && hasClaim(open, VIN) && hasClaim(open, EngineSerial) && share(s.values(i), looksVIN) < mostly
}

// open lists the claims of a column that could be taken on a sheet of these kinds. On sheets of events the reading's date is the event's.
func (s *sheet) open(i int) []claim {
	var out []claim
	for _, c := range s.live[i] {
		if c.rank < weak {
			continue
		}
		if c.rank == told {
			return []claim{c}
		}
		if c.field == OdometerDate && !slices.Contains(s.kinds, Vehicles) {
			c.field, c.rank = Date, weak
		}
		if c.field == Remarks && !s.remarksBeside(i) {
			continue
		}
		if s.allowed(c.field) && !slices.ContainsFunc(out, func(o claim) bool { return o.field == c.field }) {
			out = append(out, c)
		}
	}
	return out
}

// remarksBeside reports whether column i may hold remarks: on a list of work only beside another column that says what was done, as a
// complaint stands beside it. Alone a column of notes says what was done itself.
func (s *sheet) remarksBeside(i int) bool {
	if slices.Contains(s.kinds, Vehicles) || !slices.Contains(s.kinds, Repairs) {
		return true
	}
	for j := range s.live {
		if text := rankIn(s.live[j], Text); j != i && !s.matches[j].combined && (text >= strong || text == weak && !hasClaim(s.live[j], Remarks)) {
			return true
		}
	}
	return false
}

// ownFirst leaves out, among the best claims, what the sheet would only carry along (a depot on a list of repairs) if it has a use of its own for the
// column.
func (s *sheet) ownFirst(open []claim) []claim {
	own := slices.DeleteFunc(slices.Clone(open), func(c claim) bool {
		return !slices.ContainsFunc(s.kinds, func(k Kind) bool { return c.field.In(k) })
	})
	if len(own) > 0 && own[0].rank == open[0].rank {
		return own
	}
	return open
}

func fieldsOf(claims []claim) []Field {
	out := make([]Field, len(claims))
	for i, c := range claims {
		out[i] = c.field
	}
	return out
}

// rivals leaves a field to the one column with the best claim. Equal claims are shown and none is taken: the first is as likely wrong as
// the second.
func (s *sheet) rivals(f Field, choice []claim) {
	var cols []int
	best := rank(0)
	for i, c := range choice {
		if c.field == f && c.rank > 0 {
			cols, best = append(cols, i), max(best, c.rank)
		}
	}
	if len(cols) < 2 {
		return
	}
	top := slices.DeleteFunc(slices.Clone(cols), func(i int) bool { return choice[i].rank < best })
	if f == VIN && len(top) > 1 {
		top = s.holdingVINs(top)
	}
	if f == Date && best != told {
		top = s.workBeforeBill(top)
	}
	for _, i := range cols {
		if len(top) > 1 || i != top[0] {
			choice[i] = claim{}
		}
	}
	switch {
	case len(top) < 2:
	case best == told:
		s.found = append(s.found, Problem{Fields: []Field{f}, Columns: top, Text: say.F("the job's columns make %s each %s, and a sheet has one such column; neither is read", s.named(top), string(f)),
			Hint: say.F("leave one of them out of the job's columns, or write ignore for it"), Choices: []Choice{s.choice(top[0], Ignore)}})
	default:
		s.problem(top, []Field{f}, say.F("%s may each be %s", s.named(top), string(f)))
	}
}

// workBeforeBill leaves the one day of the work, on a list of repairs that has the bill's too.
func (s *sheet) workBeforeBill(cols []int) []int {
	work := slices.DeleteFunc(slices.Clone(cols), func(i int) bool { return anyOf(s.matches[i].all, billWords) })
	if len(work) == 1 && slices.Contains(s.kinds, Repairs) {
		return work
	}
	return cols
}

// holdingVINs lets values decide between two columns headed as VIN, if only one holds any.
func (s *sheet) holdingVINs(cols []int) []int {
	with := slices.DeleteFunc(slices.Clone(cols), func(i int) bool { return share(s.values(i), looksVIN) < mostly })
	if len(with) == 1 {
		return with
	}
	return cols
}

// named lists headings with their letters, as duplicates read alike.
func (s *sheet) named(cols []int) say.Text {
	var all say.Text
	for _, i := range cols {
		next := say.F("%s (column %s)", strconv.Quote(s.cols[i].Heading), Letter(i))
		if all.Empty() {
			all = next
		} else {
			all = say.F("%s and %s", all, next)
		}
	}
	return all
}

// dateOfOdometer takes a mere "Date" on a list of vehicles for the day of the reading only where there is a reading.
func (s *sheet) dateOfOdometer(choice []claim) {
	reading := slices.ContainsFunc(choice, func(c claim) bool { return c.field == Odometer || c.field == EngineHours })
	for i, c := range choice {
		if c.field == OdometerDate && c.rank == weak && !reading {
			choice[i] = claim{}
			s.problem([]int{i}, []Field{OdometerDate, InServiceDate}, say.F("%s does not say which date it is", strconv.Quote(s.cols[i].Heading)))
		}
	}
}

func (s *sheet) ambiguous(i int) {
	fields := fieldsOf(s.live[i])
	if slices.Contains(fields, Model) { // the one that ranges ask for, and that is read behind its make
		fields = append([]Field{Model}, slices.DeleteFunc(fields, func(f Field) bool { return f == Model })...)
	}
	s.problem([]int{i}, fields, say.F("%s holds several things in one column (%s)", strconv.Quote(s.cols[i].Heading), orList(fields)))
}

func (s *sheet) problem(cols []int, fields []Field, text say.Text) {
	hint := say.F("name it in the job's columns")
	if len(cols) > 0 {
		hint = say.F("say in the job which it is, for example columns: { %s: %s }", strconv.Quote(s.cols[cols[0]].Heading), string(fields[0]))
	}
	for _, i := range cols[min(1, len(cols)):] {
		if key(rawWords(s.cols[i].Heading)) == key(rawWords(s.cols[cols[0]].Heading)) {
			hint = say.F("say in the job which it is, for example columns: { %s: %s }", strconv.Quote("column "+Letter(cols[0])), string(fields[0]))
		}
	}
	p := Problem{Fields: fields, Columns: cols, Text: text, Hint: hint}
	if len(cols) > 0 {
		p.Choices = []Choice{s.choice(cols[0], fields[0])}
	}
	s.found = append(s.found, p)
}

// choice names column i as the job can: by its heading where only this column has it.
func (s *sheet) choice(i int, f Field) Choice { return Choice{Heading: NameIn(s.cols, i), Field: f} }

// NameIn is how a job names column i of these: by its heading, or by its letter where the heading is blank or stands over another column too.
func NameIn(cols []Column, i int) string {
	k := key(rawWords(cols[i].Heading))
	for j := range cols {
		if k == "" || j != i && key(rawWords(cols[j].Heading)) == k {
			return "column " + Letter(i)
		}
	}
	return cols[i].Heading
}

// finish writes the decision and what else the column could be.
func (s *sheet) finish(i int, c claim) {
	col := &s.cols[i]
	col.Field, col.MakeFirst = c.field, s.matches[i].makes && c.field == Model
	for _, other := range s.live[i] {
		if other.field != col.Field && !slices.Contains(col.Candidates, other.field) && other.field != Ignore {
			col.Candidates = append(col.Candidates, other.field)
		}
	}
	col.Fixed = c.rank == told
	if s.matches[i].metres && !col.Fixed && slices.Contains(col.Candidates, Odometer) {
		s.found = append(s.found, Problem{Fields: []Field{Odometer, Ignore}, Columns: []int{i}, Text: say.F("%s may be in metres or in miles; it is not used", s.headed(i)),
			Hint: say.F("where it is in miles, say odometer in the job's columns and odometer_unit: mi"), Choices: []Choice{s.choice(i, Ignore)}})
		col.Candidates = nil
	}
	if s.matches[i].hours && col.Field == Ignore && !col.Fixed {
		s.found = append(s.found, Problem{Fields: []Field{Odometer, EngineHours, Ignore}, Columns: []int{i}, Text: say.F("%s names a distance and hours; it is not used", s.headed(i)),
			Hint: say.F("part it into a column of each, or say in the job which it is"), Choices: []Choice{s.choice(i, Ignore)}})
	}
	if col.Field == Ignore {
		col.Sure = col.Fixed || s.matches[i].useless || topField(s.live[i]) == Quantity
		return
	}
	col.Sure = col.Sure && (c.rank > weak || len(col.Candidates) == 0)
	if col.Unit == "" && slices.Contains(fixedKm, col.Field) && hasClaim(s.live[i], col.Field) && rankOf(s.live[i]) >= canonical && strings.Contains(strings.ToLower(col.Heading), "km") {
		col.Unit = "km"
	}
	if col.Field == Measured && col.Measure == "" {
		col.Measure = col.Heading
	}
}
