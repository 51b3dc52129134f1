package ingest

import (
	"maps"
	"slices"
	"strconv"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/say"
)

// tellUnclosed tells of work orders that have no day of closing.
func (s *sheet) tellUnclosed() {
	c := converter{sheet: s}
	col := c.closing()
	if s.unclosed.n == 0 || col == nil {
		return
	}
	remedy := say.F("where it was done all the same, fill the day in")
	if s.unclosed.n >= 3 && s.unclosed.n*4 >= s.repairs.len() { // more than are open at a time
		remedy = say.F("where it was done all the same, fill the day in; where nobody keeps the column, say %s in the job's columns", Quoted(col.Heading)+": ignore")
	}
	if col.Field == header.Status {
		s.tell(score.Issue{Severity: score.Noted, Column: col.Heading, Ref: score.Ref{Row: s.unclosed.first}, Suggestion: say.F("where it was done all the same, fill it in"),
			Reason: say.One(s.unclosed.n, say.F("1 row has nothing in %s: its work counts as asked for, and not as done", strconv.Quote(col.Heading)),
				say.F("%d rows have nothing in %s, from this one on: their work counts as asked for, and not as done", s.unclosed.n, strconv.Quote(col.Heading)))})
		return
	}
	s.tell(score.Issue{Severity: score.Noted, Column: col.Heading, Ref: score.Ref{Row: s.unclosed.first},
		Reason: say.One(s.unclosed.n, say.F("1 row has no day in %s: its work counts as asked for, and not as done", strconv.Quote(col.Heading)),
			say.F("%d rows have no day in %s, from this one on: their work counts as asked for, and not as done", s.unclosed.n, strconv.Quote(col.Heading))),
		Suggestion: remedy})
}

// tellPlanned tells of work that was offered or planned, by what the list says of
// itself.
func (s *sheet) tellPlanned() {
	if s.planned.n == 0 {
		return
	}
	s.tell(score.Issue{Severity: score.Noted, Value: s.view.Layout.Planned, Ref: score.Ref{Row: s.planned.first},
		Reason: say.One(s.planned.n, say.F("the work of 1 row counts as offered or planned, and not as done, as %s says", strconv.Quote(s.view.Layout.Planned)),
			say.F("the work of %d rows counts as offered or planned, and not as done, as %s says", s.planned.n, strconv.Quote(s.view.Layout.Planned))),
		Suggestion: say.F("where it was done, add a column status that says done")})
}

// words takes a text of words, and notes where it names trouble codes that the row
// has no column for.
func (c *converter) words(s string) string {
	if len(c.at[header.Codes]) == 0 && dtc.Mentioned(s) != "" {
		c.coded.add(c.num)
	}
	return c.memory.intern(s)
}

// tellCoded tells of codes that stand among words: a code that is spoken of may have
// been read, erased or searched for in vain, so it counts for none of these.
func (s *sheet) tellCoded() {
	if s.coded.n == 0 {
		return
	}
	s.tell(score.Issue{Severity: score.Noted, Ref: score.Ref{Row: s.coded.first},
		Reason: say.One(s.coded.n, say.F("1 row names trouble codes in its text; codes count from a column of codes alone"),
			say.F("%d rows, from this one on, name trouble codes in their text; codes count from a column of codes alone", s.coded.n)),
		Suggestion: say.F("where they were read from the vehicle and stand in no other sheet, give them a column codes")})
}

// vouched tells whether the odometer of the row is the true distance, as far as
// the row says; what says otherwise is told of once for all rows.
func (c *converter) vouched() bool {
	if s := c.text(header.OdometerStatus); s != "" {
		plain, known := value.ParseReadingStatus(s)
		if !known {
			c.mention(c.at[header.OdometerStatus][0], s, score.Noted, say.F("not known as a word on an odometer; its reading counts"), say.F("write actual or not actual"))
		}
		if !plain {
			c.doubt(c.at[header.OdometerStatus][0].Heading)
			return false
		}
	}
	for _, col := range c.at[header.Remarks] {
		if c.memory.doubtsReading(c.present(col)) {
			c.doubt(col.Heading)
			return false
		}
	}
	return true
}

func (c *converter) doubt(heading string) {
	if c.doubted == nil {
		c.doubted = map[string]someRows{}
	}
	rows := c.doubted[heading]
	rows.add(c.num)
	c.doubted[heading] = rows
}

// tellDoubted tells of odometers that are said not to show the true distance.
func (s *sheet) tellDoubted() {
	for _, heading := range slices.Sorted(maps.Keys(s.doubted)) {
		rows := s.doubted[heading]
		s.tell(score.Issue{Severity: score.Noted, Column: heading, Ref: score.Ref{Row: rows.first},
			Reason: say.One(rows.n, say.F("1 row says that its odometer does not show the true distance, or that nobody answers for it; the reading is not used"),
				say.F("%d rows, from this one on, say that their odometer does not show the true distance, or that nobody answers for it; these readings are not used", rows.n)),
			Suggestion: say.F("where they are to count all the same, say %s in the job's columns", Quoted(heading)+": ignore")})
	}
}
