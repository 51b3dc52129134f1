package ingest

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score/say"
)

// metricRead is the name of a figure as read.
type metricRead struct {
	field header.Field
	unit  value.Unit
}

// metric reads what the figure of the row is, on a table with one figure a row;
// false where the row has nothing else to say.
func (c *converter) metric() bool {
	long := c.view.Layout.Long
	if long == nil {
		return true
	}
	if c.metrics == nil {
		c.metrics = map[string]metricRead{}
	}
	name := cellOf(c.cells, long.Metric)
	read := remembered(c.metrics, name, func() (string, metricRead) {
		f, u := header.Metric(name)
		return strings.Clone(name), metricRead{f, u}
	})
	c.metricOf, c.metricUnit = read.field, read.unit
	if read.field != header.Ignore {
		return true
	}
	c.notRead(name)
	if !c.view.Layout.Has(header.Vehicles) {
		c.raise(c.slot, isSetAside)
		return false
	}
	return true
}

// mostMetrics bounds how many names of figures are told of.
const mostMetrics = 50

func (c *converter) notRead(name string) {
	if name = clip(name); c.unread == nil {
		c.unread = map[string]someRows{}
	}
	rows, known := c.unread[name]
	if !known && len(c.unread) >= mostMetrics {
		name = "…"
		rows = c.unread[name]
	}
	rows.add(c.num)
	c.unread[name] = rows
}

// tellUnread says which figures of a table with one figure a row were read, and
// which were not.
func (s *sheet) tellUnread() {
	long := s.view.Layout.Long
	if long == nil {
		return
	}
	var names []say.Text
	for _, name := range slices.Sorted(maps.Keys(s.unread)) {
		names = append(names, say.F("%s (%s)", strconv.Quote(name), say.Count(s.unread[name].n, "row", "rows")))
	}
	what := s.heading(long.Metric)
	if len(names) == 0 {
		s.note(say.F("one figure a row: %s says what it is", strconv.Quote(what)))
		return
	}
	s.note(say.F("one figure a row: %s says what it is; nothing is read of %s", strconv.Quote(what), say.Join(", ", names...)))
}
