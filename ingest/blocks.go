package ingest

import (
	"slices"
	"strings"

	"pitlist/ingest/header"
	"pitlist/score/say"
)

// blocks tell a list of events in which each vehicle is named once, on the first
// row of its block, from one in which names were forgotten. A name that comes a
// second time speaks against it.
type blocks struct {
	fill bool // decided: what names the vehicle is read on the rows below it too

	names  map[string]bool
	broken bool
	named  int // rows
	blank  int // rows that name none
	led    int // blocks of more than one row
	inside bool

	filled int // rows that were given the name above
}

// mostBlocks bounds the names that are remembered.
const mostBlocks = 200_000

// holds reports the shape: no name twice, two blocks at least that have rows
// below their name, and two rows of five without one.
func (b *blocks) holds() bool {
	return !b.broken && b.led >= 2 && b.blank*5 >= 2*(b.named+b.blank)
}

func (b *blocks) addNamed(name string) {
	b.named++
	b.inside = false
	switch {
	case b.broken:
	case b.names[name], len(b.names) >= mostBlocks, b.named > ahead && b.blank == 0:
		b.broken, b.names = true, nil
	default:
		if b.names == nil {
			b.names = map[string]bool{}
		}
		b.names[strings.Clone(name)] = true
	}
}

func (b *blocks) addBlank() {
	b.blank++
	if !b.inside {
		b.led++
	}
	b.inside = true
}

// nameFields are what names a vehicle on a list of events.
var nameFields = [...]header.Field{header.VIN, header.Unit, header.Registration, header.VINPrefix}

// inBlock gives a row of a block the vehicle's name, and the day where it has
// none, of the rows above it. Most sheets are found to be no such list on their
// first rows, and cost nothing then.
func (c *converter) inBlock() {
	look := c.learn && !c.blocks.broken
	if !look && !c.blocks.fill || c.view.Layout.Has(header.Vehicles) && !(c.file.opts.vehiclesToo && c.view.Layout.Has(header.Repairs)) || header.IsTotal(c.cells) {
		return
	}
	name := c.blockName()
	switch {
	case look && name != "":
		c.blocks.addNamed(name)
	case look:
		c.blocks.addBlank()
	case name != "":
		c.top = c.top[:0]
		for _, f := range nameFields {
			c.remember(f)
		}
		c.remember(header.Date)
	case len(c.top) > 0:
		c.blocks.filled++
		c.remember(header.Date)
		c.fillIn()
	}
}

// blockName is all that the row calls its vehicle; "" where it has no name.
func (c *converter) blockName() string {
	var b strings.Builder
	for _, f := range nameFields {
		if s := c.text(f); s != "" {
			b.WriteString(string(f))
			b.WriteString(s)
		}
	}
	return b.String()
}

// fillIn puts what was remembered into the row's blank cells.
func (c *converter) fillIn() {
	for _, t := range c.top {
		for len(c.cells) <= t.column {
			c.cells = append(slices.Clip(c.cells), "") // the cells behind it may be another row's
		}
		if strings.TrimSpace(c.cells[t.column]) == "" {
			c.cells[t.column] = t.text
		}
	}
}

// topCell is a cell that holds for the rows below it.
type topCell struct {
	column int
	text   string
}

// remember keeps the cell of a field, in the place of one that was kept before.
func (c *converter) remember(f header.Field) {
	if len(c.at[f]) == 0 || c.text(f) == "" || len(c.at[f][0].With) > 0 {
		return
	}
	cell := topCell{c.at[f][0].Index, c.keep(c.text(f))}
	for i := range c.top {
		if c.top[i].column == cell.column {
			c.top[i] = cell
			return
		}
	}
	c.top = append(c.top, cell)
}

// tellBlocks says that names were read on the rows below them.
func (s *sheet) tellBlocks() {
	if s.blocks.filled > 0 {
		s.note(say.One(s.blocks.filled, say.F("each vehicle is named once, on the first row of its block: 1 row below one was read as of the vehicle above it"),
			say.F("each vehicle is named once, on the first row of its block: %d rows below were read as of the vehicle above them", s.blocks.filled)))
	}
}
