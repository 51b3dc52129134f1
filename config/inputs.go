package config

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// inputs reads the list of inputs; an item is a path by itself or a group.
func inputs(f field) []Input {
	items := f.items()
	if f.written() && len(items) == 0 && f.node.Tag != "!!null" {
		f.fault("inputs names no file", "write at least one: inputs: [ { path: intake/*.xlsx } ]")
	}
	out := make([]Input, 0, len(items))
	for _, item := range items {
		if item.node.Kind == kindScalar {
			if p := pattern(item); p != "" {
				out = append(out, Input{Path: p, at: item})
			}
			continue
		}
		if in, ok := input(item); ok {
			out = append(out, in)
		}
	}
	return out
}

var inputKeys = []string{"path", "password_env", "optional", "sheets"}

func input(f field) (Input, bool) {
	g, ok := f.group(inputKeys...)
	if !ok {
		return Input{}, false
	}
	path := g.need("path", "which file? path: intake/*.xlsx")
	in := Input{Path: pattern(path), PasswordEnv: passwordEnv(g.get("password_env")), Optional: g.get("optional").yes(false), at: path}
	named := map[string]bool{}
	for _, item := range g.get("sheets").items() {
		sh, ok := sheet(item)
		if !ok {
			continue
		}
		if named[sh.Name] {
			item.faultf("say it all in one entry", "the sheet %q is described twice", shorten(sh.Name))
		}
		named[sh.Name] = true
		in.Sheets = append(in.Sheets, sh)
	}
	return in, in.Path != ""
}

// pattern reads a path that may hold * ? [ ].
func pattern(f field) string {
	p := f.text()
	switch {
	case strings.Contains(p, "**"):
		f.fault("** is not understood in a path", "name each folder: north/*.xlsx, south/*.xlsx")
	case strings.ContainsRune(p, 0):
		f.fault("the path holds a character that no path can have", "")
	case strings.HasPrefix(p, "http://"), strings.HasPrefix(p, "https://"):
		f.fault("the path is a web address; nothing is fetched", "save the file in a folder and name it")
	}
	return p
}

var envName = regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_]*$`)

// passwordEnv takes the name of an environment variable. What does not look
// like one may be the secret itself, so it is not repeated in the message.
func passwordEnv(f field) string {
	name := f.text()
	if name == "" {
		return ""
	}
	if envName.MatchString(name) && name == strings.ToUpper(name) {
		return name
	}
	f.s.at(f.at.Line, f.at.Column, f.path, "", lastWord(f.name())+" is not the name of an environment variable (capitals, digits and _)",
		"write a name such as INTAKE_PW and put the password into that variable, never into this file")
	return ""
}

// Holdings are what a sheet may hold.
var holdings = []string{"vehicles", "codes", "repairs", "inspections", "readings"}

var sheetKeys = []string{"name", "holds", "columns", "odometer_unit", "date_order", "encoding", "header_row"}

func sheet(f field) (Sheet, bool) {
	g, ok := f.group(sheetKeys...)
	if !ok {
		return Sheet{}, false
	}
	sh := Sheet{
		Name:         g.get("name").text(),
		OdometerUnit: g.get("odometer_unit").oneOf("", "km", "mi"),
		DateOrder:    dateOrder(g.get("date_order")),
		Encoding:     encodingName(g.get("encoding")),
		HeaderRow:    g.get("header_row").whole(0, span{low: 1, high: 1048576, say: "rows count from 1"}),
		Line:         f.at.Line,
	}
	for _, item := range g.get("holds").items() {
		if h := item.oneOf("", holdings...); h != "" && !slices.Contains(sh.Holds, h) {
			sh.Holds = append(sh.Holds, h)
		}
	}
	sh.Columns = columns(g.get("columns"), sh.Holds)
	return sh, true
}

// Ignore as a column's meaning leaves the column out.
const Ignore = "ignore"

// columns reads heading -> column name. On an inspection sheet a name that is
// no known column is a measure's; so it is where nothing says what the sheet
// holds, unless it looks like a slip of a known one.
func columns(f field, holds []string) map[string]string {
	if !f.written() {
		return nil
	}
	if !f.anyGroup("headings with what they mean", `write { "Fleet ref": unit }`) {
		return nil
	}
	measures := len(holds) == 0 || slices.Contains(holds, "inspections")
	out := map[string]string{}
	f.pairs(func(heading string, _ *yamlNode, v field) {
		name := v.text()
		if name == "" {
			return
		}
		if name == Ignore {
			out[heading] = name
			return
		}
		if known, ok := canonical(name); ok {
			out[heading] = known
			return
		}
		if near := nearest(name, columnNames); near != "" || !measures {
			hint := "the names are those of the README's table of columns"
			if near != "" {
				hint = didYouMean(name, columnNames)
			}
			v.fault(fmt.Sprintf("%q is no column that a sheet can have", shorten(name)), hint)
			return
		}
		out[heading] = name
	})
	return out
}

// columnNames are the canonical columns of every kind of sheet.
var columnNames = []string{
	"unit", "vin", "registration", "vin_prefix", "depot", "make", "model", "model_year", "engine_family",
	"engine_serial", "build_date", "in_service_date", "odometer", "odometer_unit", "odometer_date", "odometer_status", "odometer_by_month", "metric", "engine_hours",
	"km_per_week", "hours_per_week", "history_from_km", "history_from_hours", "next_service", "disposal_date",
	"disposal_km", "status", "runs", "remarks", "codes", "km_since_clear", "lot", "lane", "sale_order", "guide_price",
	"price", "warranty_km", "warranty_months", "can_open", "date", "state", "warmups_since_clear",
	"monitors_incomplete", "mil", "text", "closed", "recommended", "quantity", "part_no", "cost", "part", "position", "finding", "by", "source",
}

// byMonth is the column of a history by the month; where its heading names no
// month or day the job does: "odometer_by_month 2026-01".
const byMonth = "odometer_by_month"

func isMonthOrDay(s string) bool {
	_, month := time.Parse("2006-01", s)
	_, day := time.Parse(time.DateOnly, s)
	return month == nil || day == nil
}

// canonical finds a column by its name, `_` or blank alike.
func canonical(name string) (string, bool) {
	if front, day, ok := strings.Cut(strings.TrimSpace(name), " "); ok && plain(front) == byMonth && isMonthOrDay(day) {
		return byMonth + " " + day, true
	}
	p := plain(name)
	return p, slices.Contains(columnNames, p)
}

// encodings that text files come in, by the names in use (WHATWG Encoding
// Standard, and the code pages of old DOS programs).
var encodings = []string{
	"utf-8", "utf8", "utf-16", "utf-16le", "utf-16be",
	"windows-1250", "windows-1251", "windows-1252", "windows-1253", "windows-1254", "windows-1255", "windows-1256", "windows-1257", "windows-1258",
	"cp1250", "cp1251", "cp1252", "cp1253", "cp1254", "cp1257",
	"iso-8859-1", "iso-8859-2", "iso-8859-3", "iso-8859-4", "iso-8859-5", "iso-8859-7", "iso-8859-9", "iso-8859-10", "iso-8859-13", "iso-8859-14",
	"iso-8859-15", "latin1", "latin2", "cp437", "cp850", "cp852", "cp858", "cp865", "cp866", "ibm437", "ibm850", "ibm852", "ibm865", "ibm866",
	"macintosh", "koi8-r", "koi8-u", "gbk", "gb18030", "big5", "shift_jis", "euc-jp", "euc-kr",
}

func encodingName(f field) string {
	t := strings.ToLower(f.text())
	if t == "" || slices.Contains(encodings, t) {
		return t
	}
	hint := didYouMean(t, encodings)
	if hint == "" {
		hint = "write utf-8, utf-16, windows-1252, iso-8859-1 or the like"
	}
	f.faultf(hint, "encoding %q is not known", shorten(t))
	return ""
}
