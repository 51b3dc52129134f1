package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pitlist/ingest"
	"pitlist/ingest/header"
	"pitlist/score"
)

func newRead(w *world) *cobra.Command {
	draft := false
	cmd := &cobra.Command{
		Use:   "read JOB",
		Short: "Show how every column of the inputs is understood, and what is refused",
		Long: `Reads the job's inputs and nothing else: what every sheet holds, each column as
understood with three of its values, and what was refused and why. Writes no file.

With --draft it writes instead the job's inputs with a sheets block for every
sheet as it was understood, to be corrected and kept in the job.`,
		Example:           "  pitlist read weekly.yaml\n  pitlist read weekly.yaml --draft > sheets.yaml",
		Args:              exactly(1, "one job file"),
		ValidArgsFunction: jobFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := w.day()
			if err != nil {
				return err
			}
			p := newProgress(w.errOut)
			defer p.end()
			b, err := configure(args[0], day, p)
			if err != nil {
				return err
			}
			err = b.readInputs(cmd.Context())
			p.end()
			switch {
			case b.read == nil:
			case draft:
				b.draft(w.out)
			default:
				w.tellRead(b)
			}
			if err == nil && score.Sum(b.read.Fleet.Counts).Rejected+unread(b) > 0 {
				return &ended{exitRejected}
			}
			return err
		},
	}
	w.addDay(cmd)
	cmd.Flags().BoolVar(&draft, "draft", false, "write the job's inputs with a sheets block for every sheet, to be corrected")
	return cmd
}

// tellRead shows the files, the sheets and what was refused.
func (w *world) tellRead(b *batch) {
	for i, f := range b.read.Files {
		fmt.Fprintf(w.out, "%s\n", b.files[i].Shown)
		if f.Err != nil {
			fmt.Fprintf(w.out, "  not read: %s\n", f.Words())
		}
		for _, n := range f.Notes {
			fmt.Fprintf(w.out, "  note: %s\n", n)
		}
		for j := range b.read.Sheets {
			if s := &b.read.Sheets[j]; s.Source.File == f.Path && f.Err == nil {
				w.tellSheet(s)
			}
		}
	}
	if b.read.Fleet == nil {
		return
	}
	w.tellIssues(b.read.Fleet)
	c := score.Sum(b.read.Fleet.Counts)
	fmt.Fprintf(w.out, "in all: %d vehicles; %d rows read = %d used + %d set aside + %d rejected + %d merged + %d blank\n",
		len(b.read.Fleet.Vehicles), c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank)
}

func (w *world) tellSheet(s *ingest.SheetView) {
	name := s.Source.Sheet
	if name == "" {
		name = "(text)"
	}
	c := s.Counts
	if !s.Skipped.Empty() {
		fmt.Fprintf(w.out, "  sheet %s: %d rows not read: %s\n", name, c.Read, s.Skipped)
		return
	}
	kinds := make([]string, len(s.Layout.Holds))
	for i, k := range s.Layout.Holds {
		kinds[i] = string(k)
	}
	headings := ""
	if s.Heading > 0 { // the cards of a list have none
		headings = fmt.Sprintf(" headings on row %d;", s.Heading)
	}
	fmt.Fprintf(w.out, "  sheet %s: %s;%s %d rows = %d used + %d set aside + %d rejected + %d merged + %d blank\n",
		name, strings.Join(kinds, " and "), headings, c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank)
	for i := range s.Columns {
		w.tellColumn(&s.Columns[i])
	}
	for _, p := range s.Layout.Ambiguous {
		fmt.Fprintf(w.out, "    open: %s\n", p)
	}
	for _, n := range s.Notes {
		fmt.Fprintf(w.out, "    note: %s\n", n)
	}
}

func (w *world) tellColumn(v *ingest.ColumnView) {
	c := &v.Column
	what := "left alone"
	if c.Field != header.Ignore {
		what = string(c.Field)
		if c.Measure != "" {
			what += " " + c.Measure
		}
		if c.Unit != "" && c.Field != header.MIL {
			what += " (" + c.Unit + ")"
		}
		if !c.Sure {
			what += "?"
		}
	} else if len(c.Candidates) > 0 {
		names := make([]string, len(c.Candidates))
		for i, f := range c.Candidates {
			names[i] = string(f)
		}
		what += "; could be " + strings.Join(names, " or ")
	}
	line := fmt.Sprintf("    %-26s %-28s %s", oneLine(c.Heading, 26), what, strings.Join(v.Samples, " | "))
	if !v.How.Empty() && c.Field != header.Ignore {
		line += "  [" + v.How.String() + "]"
	}
	if v.Refused > 0 {
		line += fmt.Sprintf("  (%d refused)", v.Refused)
	}
	fmt.Fprintln(w.out, strings.TrimRight(line, " "))
}

func oneLine(s string, most int) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// tellIssues shows what was refused, at most a screenful, what is said of many
// rows once; all of it stands in a run's rejected.csv.
func (w *world) tellIssues(f *score.Fleet) {
	const most = 40
	kinds, left := kindsOfIssue(f), 0
	for i, k := range kinds {
		if i >= most {
			left += len(k)
			continue
		}
		fmt.Fprint(w.out, issueLine(f, k[0]))
		switch more := len(k) - 1; {
		case more > 1:
			fmt.Fprintf(w.out, " — and %d more rows alike, to row %d", more, k[more].Ref.Row)
		case more == 1:
			fmt.Fprintf(w.out, " — and row %d alike", k[1].Ref.Row)
		}
		fmt.Fprintln(w.out)
	}
	if left > 0 {
		fmt.Fprintf(w.out, "…and %d more; a run writes them all to rejected.csv\n", left)
	}
}

// kindsOfIssue puts together what is said in the same words of one column,
// whatever the value, the gravest first.
func kindsOfIssue(f *score.Fleet) [][]*score.Issue {
	type kind struct {
		severity           score.Severity
		source             int32
		column             string
		reason, suggestion string
	}
	at := map[kind]int{}
	var out [][]*score.Issue
	for _, sev := range []score.Severity{score.Rejected, score.SetAside, score.Noted} {
		for i := range f.Issues {
			s := &f.Issues[i]
			if s.Severity != sev {
				continue
			}
			k := kind{sev, s.Ref.Source, s.Column, s.Reason.String(), s.Suggestion.String()}
			j, known := at[k]
			if !known {
				j, at[k] = len(out), len(out)
				out = append(out, nil)
			}
			out[j] = append(out[j], s)
		}
	}
	return out
}

func issueLine(f *score.Fleet, s *score.Issue) string {
	line := fmt.Sprintf("%s: %s", s.Severity, f.Where(s.Ref))
	if s.Column != "" {
		line += fmt.Sprintf(", column %q", s.Column)
	}
	if s.Value != "" {
		line += fmt.Sprintf(": %q", s.Value)
	}
	line += ": " + s.Reason.String()
	if !s.Suggestion.Empty() {
		line += " (" + s.Suggestion.String() + ")"
	}
	return line
}
