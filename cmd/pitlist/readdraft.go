package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"pitlist/ingest"
	"pitlist/ingest/header"
)

// draft writes the job's inputs with a sheets block for every sheet as it was
// understood, for a person to correct and keep. The patterns of the job follow,
// for files that come later: a file named in full is read by its own entry.
func (b *batch) draft(w io.Writer) {
	d := &drafting{w: w}
	d.line("# How the inputs were understood on %s. Put this in the place of inputs in the job, correct it, and keep it.", b.day)
	d.line("# What stands behind # is for the reader: where the column stands, what it holds, what else it could be.")
	d.line("inputs:")
	var patterns []string
	for i := range b.read.Files {
		d.file(b, i)
		if in := b.files[i].Input; in.Path != b.files[i].Shown && !slices.Contains(patterns, in.Path) {
			patterns = append(patterns, in.Path)
		}
	}
	for _, p := range patterns {
		d.line("  - path: %s   # files that come later", ingest.Quoted(p))
	}
}

type drafting struct{ w io.Writer }

func (d *drafting) line(format string, args ...any) {
	fmt.Fprintf(d.w, "%s\n", strings.TrimRight(fmt.Sprintf(format, args...), " "))
}

// file writes the entry of one file.
func (d *drafting) file(b *batch, i int) {
	f, in := b.read.Files[i], b.files[i]
	d.line("  - path: %s", ingest.Quoted(in.Shown))
	if in.Input.PasswordEnv != "" {
		d.line("    password_env: %s", in.Input.PasswordEnv)
	}
	if f.Err != nil {
		d.line("    # not read: %s", remark(f.Words().String()))
		return
	}
	encoding := ""
	for _, s := range in.Input.Sheets {
		if s.Encoding != "" {
			encoding = s.Encoding
		}
	}
	begun := false
	for j := range b.read.Sheets {
		s := &b.read.Sheets[j]
		if s.Source.File != f.Path {
			continue
		}
		if len(s.Layout.Columns) == 0 {
			d.line("    # sheet %s: %s", remark(s.Source.Sheet), remark(s.Skipped.String()))
			continue
		}
		if !begun {
			d.line("    sheets:")
			begun = true
		}
		d.sheet(b, s, encoding)
	}
}

// sheet writes the entry of one sheet.
func (d *drafting) sheet(b *batch, s *ingest.SheetView, encoding string) {
	begin := "      - "
	key := func(format string, args ...any) {
		d.line("%s%s", begin, fmt.Sprintf(format, args...))
		begin = "        "
	}
	if s.Source.Sheet != "" {
		key("name: %s", ingest.Quoted(s.Source.Sheet))
	}
	if len(s.Layout.Holds) > 0 && s.Skipped.Empty() {
		kinds := make([]string, len(s.Layout.Holds))
		for i, k := range s.Layout.Holds {
			kinds[i] = string(k)
		}
		key("holds: [%s]", strings.Join(kinds, ", "))
	}
	if s.Heading > 0 {
		key("header_row: %d", s.Heading)
	}
	if encoding != "" {
		key("encoding: %s", encoding)
	}
	if s.Told.OdometerUnit != "" {
		key("odometer_unit: %s", s.Told.OdometerUnit)
	}
	if order := s.Told.DateOrder; order != "" {
		key("date_order: %s", order)
	}
	if !s.Skipped.Empty() {
		key("# not read: %s", remark(s.Skipped.String()))
	}
	key("columns:")
	d.columns(s)
}

// columns writes what each column was taken for.
func (d *drafting) columns(s *ingest.SheetView) {
	for i := range s.Layout.Columns {
		c := &s.Layout.Columns[i]
		name := header.NameIn(s.Layout.Columns, i)
		if s.Layout.Rows > 1 {
			name = "column " + header.Letter(c.Index) // the heading stands on two rows
		}
		field := "ignore"
		switch {
		case c.Field == header.Measured:
			field = c.Measure
		case c.Field != header.Ignore:
			field = string(c.Field)
			if c.DayTold {
				field += c.Day.Format(" 2006-01-02")
			}
		}
		note := header.Letter(c.Index)
		if s.Layout.Rows > 1 {
			note += " " + remark(c.Heading)
		}
		if i < len(s.Columns) && len(s.Columns[i].Samples) > 0 {
			note += ": " + remark(strings.Join(s.Columns[i].Samples, " | "))
		}
		if c.Field == header.Ignore && len(c.Candidates) > 0 {
			note += "; could be " + candidates(c)
		}
		d.line("          %s: %s   # %s", ingest.Quoted(name), ingest.Quoted(field), note)
	}
}

func candidates(c *header.Column) string {
	names := make([]string, len(c.Candidates))
	for i, f := range c.Candidates {
		names[i] = string(f)
	}
	return strings.Join(names, " or ")
}

// remark makes a text safe behind a # of YAML: one line, of printing
// characters.
func remark(s string) string { return oneLine(printing(s), 100) }
