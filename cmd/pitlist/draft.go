package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pitlist/config"
	"pitlist/ingest"
	"pitlist/ingest/bulletin"
	"pitlist/ingest/value"
)

// draftFlags are what the user asked of `pitlist draft`.
type draftFlags struct {
	out       string // "" is standard output
	force     bool
	makes     []string
	columns   []string // HEADING=FIELD
	dateOrder string
	encoding  string
	password  string // the environment variable that holds it
}

func newDraft(w *world) *cobra.Command {
	var d draftFlags
	cmd := &cobra.Command{
		Use:   "draft FILE…",
		Short: "Recall and bulletin tables into catalogue entries for a person to finish",
		Long: `Reads tables of recalls or maker's bulletins (.xlsx, .xlsm, .csv, .tsv) and writes
catalogue entries: which vehicles each campaign concerns, as far as its ranges can
be decided, its name, source and day. What no table knows (curves, costs, hours,
how to look) is left blank: lint names each blank, and no run takes the file before
a person has filled them in.

Every row is accounted for: drafted, merged into an entry, or told with the cell
that cannot be used and why. Some rows told ends with exit code 3.`,
		Example: "  pitlist draft recalls.csv --make Northfold --out parts/recalls.yaml\n  pitlist draft bulletins.xlsx --column \"Our ref=number\" --date-order day > draft.yaml",
		Args:    exactly(-1, "at least one table of recalls or bulletins"),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"csv", "tsv", "xlsx", "xlsm"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(cmd *cobra.Command, args []string) error { return w.draft(cmd.Context(), args, &d) },
	}
	flags := cmd.Flags()
	flags.StringVar(&d.out, "out", "", "write the entries into this file (default: standard output)")
	flags.BoolVar(&d.force, "force", false, "write over the file of --out, and over what was filled in there")
	flags.StringArrayVar(&d.makes, "make", nil, "only rows of this make, and those that name none; may be given several times")
	flags.StringArrayVar(&d.columns, "column", nil, "what a column holds: HEADING=FIELD, or HEADING=ignore; may be given several times")
	flags.StringVar(&d.dateOrder, "date-order", "", "day or month: which comes first, where no date of a table shows it")
	flags.StringVar(&d.encoding, "encoding", "", "of text files, such as windows-1252 (default: by their bytes)")
	flags.StringVar(&d.password, "password-env", "", "the environment variable that holds the password of protected workbooks")
	w.addJSON(cmd)
	return cmd
}

func (w *world) draft(ctx context.Context, files []string, d *draftFlags) error {
	o, err := d.options()
	if err != nil {
		return err
	}
	if err := d.mayWrite(files); err != nil {
		return err
	}
	tables, hidden, err := d.readTables(ctx, files, o)
	if err != nil {
		return err
	}
	res, err := bulletin.Read(tables, o)
	if err != nil {
		return &failure{exitFailed, err, "name the makes that you have: --make NAME"}
	}
	if !slices.ContainsFunc(tables, (*bulletin.Table).IsTable) {
		return noTable(tables)
	}
	if absent := o.Absent(tables); len(absent) > 0 {
		return usageError(fmt.Errorf("--column %q: no table has this heading", absent[0]), "write it as it stands in the table")
	}
	a := &draftAccount{Result: res, hidden: hidden, out: d.out}
	if a.text, a.blanks, err = finishDraft(a.draft()); err != nil {
		return err
	}
	if len(res.Campaigns) == 0 {
		a.out = ""
	} else if d.out != "" {
		if err := saveNew(d.out, a.text, d.force); err != nil {
			return err
		}
	}
	if err := w.tellDraft(a); err != nil {
		return err
	}
	if a.count(bulletin.Told) > 0 || a.strangers() > 0 {
		return &ended{exitRejected}
	}
	return nil
}

// options reads the flags that say what the tables hold.
func (d *draftFlags) options() (bulletin.Options, error) {
	o := bulletin.Options{Makes: d.makes, DateOrder: value.Order(d.dateOrder), Columns: map[string]string{}}
	if err := o.DateOrder.Validate(); err != nil {
		return o, usageError(err, "write --date-order day or --date-order month")
	}
	for _, c := range d.columns {
		i := strings.LastIndexByte(c, '=')
		if i < 1 {
			return o, usageError(fmt.Errorf("--column %q names no field", c), `write --column "HEADING=FIELD"; `+fieldNames())
		}
		heading := strings.TrimSpace(c[:i])
		if was, ok := o.Columns[heading]; ok && was != c[i+1:] {
			return o, usageError(fmt.Errorf("--column %q: the heading %q is given two fields", c, heading), "name each heading once")
		}
		o.Columns[heading] = c[i+1:]
	}
	if _, err := bulletin.New("", "", false, o); err != nil {
		return o, usageError(err, fieldNames())
	}
	return o, nil
}

func fieldNames() string {
	var names []string
	for _, f := range bulletin.Fields() {
		names = append(names, string(f))
	}
	return "the fields are " + strings.Join(names, ", ") + ", and ignore"
}

// mayWrite refuses before anything is read: a file that is there already may have
// been filled in since.
func (d *draftFlags) mayWrite(files []string) error {
	if d.out == "" {
		return nil
	}
	is, err := os.Stat(d.out)
	if err != nil {
		return nil // not there, or the writing says why not
	}
	for _, f := range files {
		if in, err := os.Stat(f); err == nil && os.SameFile(in, is) {
			return usageError(fmt.Errorf("%s is one of the tables to be read", d.out), "give --out another name")
		}
	}
	switch {
	case is.IsDir():
		return usageError(fmt.Errorf("%s is a folder", d.out), "name a file in it: --out "+filepath.Join(d.out, "recalls.yaml"))
	case !d.force:
		return isThere(d.out)
	}
	return nil
}

func isThere(path string) error {
	return usageError(fmt.Errorf("%s is there already", path), "give --out another name, or --force, which also writes over what was filled in there")
}

// readTables reads the files' sheets. One that cannot be read stops the command:
// half a list of recalls looks like a whole one.
func (d *draftFlags) readTables(ctx context.Context, files []string, o bulletin.Options) (tables []*bulletin.Table, hidden []string, err error) {
	dir, remove, err := spool()
	if err != nil {
		return nil, nil, err
	}
	defer func() { err = errors.Join(err, remove()) }()
	password := ""
	if d.password != "" {
		if password = os.Getenv(d.password); password == "" {
			return nil, nil, usageError(fmt.Errorf("the environment variable %s, which is to hold a password, is empty", d.password), "set it, or leave --password-env out")
		}
	}
	for _, path := range files {
		name := shownAs(path, files)
		var now *bulletin.Table
		view, passed := ingest.ReadRaw(ctx, ingest.Input{Path: followed(path), Shown: name, Password: password}, ingest.Options{Encoding: d.encoding, TmpDir: dir}, func(r *ingest.RawRow) error {
			if now == nil || now.Sheet != r.Sheet {
				if now, err = bulletin.New(name, r.Sheet, r.Date1904, o); err != nil {
					return err
				}
				tables = append(tables, now)
			}
			return now.Add(r.Row, r.Cells, r.Fault)
		})
		if view.Err != nil {
			if ctx.Err() != nil {
				return nil, nil, ctx.Err()
			}
			return nil, nil, &failure{exitFailed, errors.New(view.Words().String()), view.Hint().String()}
		}
		for _, s := range passed {
			hidden = append(hidden, fmt.Sprintf("%s, sheet %s", name, s))
		}
	}
	return tables, hidden, nil
}

// shownAs is a file's name without its folder, but where two have one.
func shownAs(path string, files []string) string {
	name := filepath.Base(path)
	if slices.ContainsFunc(files, func(other string) bool { return other != path && filepath.Base(other) == name }) {
		return filepath.ToSlash(path)
	}
	return name
}

// followed is where a link leads that the user named: his own choice, unlike one
// that lies in an intake folder. A target of another kind is left to be refused.
func followed(path string) string {
	if to, err := filepath.EvalSymlinks(path); err == nil && strings.EqualFold(filepath.Ext(to), filepath.Ext(path)) {
		return to
	}
	return path
}

// noTable says what a table of campaigns needs, by the one that came nearest.
func noTable(tables []*bulletin.Table) error {
	var near *bulletin.Table
	for _, t := range tables {
		if near == nil || len(t.Columns) > len(near.Columns) {
			near = t
		}
	}
	text := "the files hold no rows"
	if near != nil {
		text = placeOf(near.File, near.Sheet) + " is no table of recalls or bulletins: " + headingsOf(near)
	}
	return &failure{exitFailed, errors.New(text), "one column must name the campaign or what is wrong (number, concern, component or defect), another the vehicles (make, model or vin): " +
		`head them so, or say which they are: --column "HEADING=FIELD"; ` + fieldNames()}
}

func headingsOf(t *bulletin.Table) string {
	if len(t.Columns) == 0 {
		return "its first rows hold nothing"
	}
	var known, other []string
	for i := range t.Columns {
		switch c := &t.Columns[i]; {
		case c.Field != bulletin.Ignore:
			known = append(known, fmt.Sprintf("%q (%s)", oneLine(c.Heading, 40), c.Field))
		case len(other) < 12:
			other = append(other, fmt.Sprintf("%q", oneLine(c.Heading, 40)))
		}
	}
	text := "the nearest to a row of headings has"
	if len(known) > 0 {
		text += " " + strings.Join(known, ", ")
	} else {
		text += " nothing that is understood"
	}
	if len(other) > 0 {
		text += ", and not understood: " + strings.Join(other, ", ")
	}
	return text
}

// placeOf names a sheet as messages do.
func placeOf(file, sheet string) string {
	if sheet == "" {
		return file
	}
	return file + ", sheet " + sheet
}

// finishDraft writes the draft and reads it back: it must be a catalogue that
// lacks nothing but what its blanks lack.
func finishDraft(d *config.Draft) (text []byte, blanks int, err error) {
	if len(d.Entries) == 0 {
		return nil, 0, nil
	}
	var b bytes.Buffer
	if err := d.Write(&b); err != nil {
		return nil, 0, err
	}
	_, faults := config.ParseCatalogue("draft", b.Bytes())
	for _, f := range faults {
		switch {
		case f.Blank():
			blanks++
		case f.Line == 0:
			return nil, 0, &failure{exitFailed, fmt.Errorf("the draft is too large for a catalogue: %s", f.Problem), "name the makes that you have: --make NAME, or part the table"}
		default:
			return nil, 0, fmt.Errorf("internal: the draft is no catalogue: %w", f)
		}
	}
	return b.Bytes(), blanks, nil
}

// saveNew writes a file at once, beside and then under its name. Without force it
// takes no name that is taken, also by whoever was quicker.
func saveNew(path string, text []byte, force bool) error {
	tmp := path + fresh
	defer os.Remove(tmp)
	err := writeText(tmp, string(text))
	switch {
	case err != nil:
	case force:
		err = os.Rename(tmp, path)
	default:
		err = os.Link(tmp, path)
		if errors.Is(err, fs.ErrExist) {
			return isThere(path)
		}
		if err != nil { // a file system without links
			if _, there := os.Lstat(path); there == nil {
				return isThere(path)
			}
			err = os.Rename(tmp, path)
		}
	}
	if err == nil {
		err = syncDir(filepath.Dir(path))
	}
	if err != nil {
		return &failure{exitFailed, fmt.Errorf("%s cannot be written: %w", path, cause(err)), "check the folder, its permissions and the space on its disk"}
	}
	return nil
}
