package xlsx

// block holds rows on their way from the XML to the caller. Texts stand one after
// the other and become a single string, so that a row costs no memory of its own.
type block struct {
	text  []byte
	cells []cellAt
	rows  []rowAt
}

// cellAt is a cell that holds a value or a formula.
type cellAt struct {
	column   int    // from 1
	from, to int    // its text in block.text
	shared   string // its text where that is a shared string held in memory
}

// rowAt is a row with at least one cell.
type rowAt struct{ number, end int } // end: of its cells in block.cells

// blockText and blockRows are where a block is handed out: enough that its
// allocation does not count, small beside the sheet.
const (
	blockText = 32 << 10
	blockRows = 256
)

func (b *block) reset() { b.text, b.cells, b.rows = b.text[:0], b.cells[:0], b.rows[:0] }

func (b *block) full() bool { return len(b.text) >= blockText || len(b.rows) >= blockRows }

// row writes row i into cells, from column A on; text is block.text as a string.
func (b *block) row(i int, text string, cells []string) (number int, row []string) {
	from := 0
	if i > 0 {
		from = b.rows[i-1].end
	}
	cells = cells[:0]
	for _, c := range b.cells[from:b.rows[i].end] {
		for len(cells) < c.column-1 {
			cells = append(cells, "")
		}
		if c.shared != "" {
			cells = append(cells, c.shared)
		} else {
			cells = append(cells, text[c.from:c.to])
		}
	}
	return b.rows[i].number, cells
}
