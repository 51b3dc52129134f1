package main

import (
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"pitlist/config"
	"pitlist/ingest/bulletin"
)

// draft makes a catalogue of the campaigns that were read.
func (a *draftAccount) draft() *config.Draft {
	d := &config.Draft{}
	for _, t := range a.Tables {
		if t.IsTable() && !slices.Contains(d.From, t.File) {
			d.From = append(d.From, t.File)
		}
		if left := leftAlone(t); t.IsTable() && left != "" {
			d.Unused = append(d.Unused, placeOf(t.File, t.Sheet)+": "+left)
		}
	}
	taken := map[string]bool{}
	for _, c := range a.Campaigns {
		d.Entries = append(d.Entries, a.entry(c, taken))
	}
	for i := range a.Rows {
		r := a.Rows[i]
		if r.Settle { // what is to be settled stands at its blank
			r.Settle, r.Issues = false, beyondBlanks(&r)
		}
		if len(r.Issues) > 0 {
			d.Left = append(d.Left, tellRow(&r))
		}
	}
	return d
}

// beyondBlanks are the issues of a row that stand at none of its fit's blanks.
func beyondBlanks(r *bulletin.Row) []bulletin.Issue {
	return slices.DeleteFunc(slices.Clone(r.Issues), func(i bulletin.Issue) bool {
		for _, at := range r.Fit.Open {
			if slices.Contains(at, i) {
				return true
			}
		}
		return false
	})
}

// entry makes one entry, with an id and a name that no other has.
func (a *draftAccount) entry(c *bulletin.Campaign, taken map[string]bool) config.DraftEntry {
	component := c.First(bulletin.Component)
	words := cmp.Or(component, c.First(bulletin.Concern), c.First(bulletin.Defect), "campaign")
	name := oneLine(words, 80)
	if c.Number != "" {
		name += " (" + oneLine(c.Number, 40) + ")"
	}
	id := slug(cmp.Or(c.Number, c.First(bulletin.Concern), component, c.First(bulletin.Defect)))
	id, name = unused(id, name, taken)
	a.ids = append(a.ids, id)
	e := config.DraftEntry{ID: id, Name: name, Source: a.source(c), KnownSince: c.Launch, Remarks: a.remarks(c)}
	if system, _, parted := strings.Cut(component, ":"); parted {
		e.System = strings.ToLower(strings.TrimSpace(system))
	}
	if parts := c.Said[bulletin.PartNo]; len(parts) == 1 && isPartNo(parts[0]) {
		e.PartNo = parts[0]
	}
	for i := range c.Fits {
		e.Fits = append(e.Fits, a.fit(&c.Fits[i]))
	}
	return e
}

// isPartNo tells a part's number from words about one: it has a figure, no word of
// small letters, nothing in brackets.
func isPartNo(s string) bool {
	return len(s) <= mostID && strings.ContainsAny(s, "0123456789") && !strings.ContainsAny(s, "()[]:") && !smallWord.MatchString(s)
}

var smallWord = regexp.MustCompile(`(?:^|\s)\pL?\p{Ll}{2,}(?:\s|$)`)

// mostID is how long an id is made, in characters.
const mostID = 40

// slug makes an id of a campaign's number or words: small letters, digits and
// hyphens.
func slug(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= mostID {
			break
		}
	}
	return cmp.Or(strings.Trim(b.String(), "-"), "campaign")
}

// unused gives an id and a name that cannot be taken for those of another entry,
// numbered where they are taken: inspection sheets may give either.
func unused(id, name string, taken map[string]bool) (freeID, freeName string) {
	freeID, freeName = id, name
	for n := 2; taken[plainName(freeID)] || taken[plainName(freeName)]; n++ {
		freeID = fmt.Sprintf("%s-%d", strings.TrimRight(id[:min(len(id), mostID-8)], "-"), n)
		freeName = fmt.Sprintf("%d. %s", n, name)
	}
	taken[plainName(freeID)], taken[plainName(freeName)] = true, true
	return freeID, freeName
}

// plainName is what an id or a name has in common with all that could be taken for
// it: small letters and digits.
func plainName(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}

// source names where the entry comes from.
func (a *draftAccount) source(c *bulletin.Campaign) string {
	text := c.Called
	if c.Number != "" {
		text += " " + c.Number
	}
	if ref := strings.Join(c.Said[bulletin.Reference], ", "); ref != "" && ref != c.Number {
		text += ", maker's number " + ref
	}
	return text + " (" + a.places(c.Rows) + ")"
}

// remarkHead heads what the table says of a campaign.
var remarkHead = map[bulletin.Field]string{bulletin.Component: "Component", bulletin.Concern: "Concern", bulletin.Defect: "Defect", bulletin.Consequence: "Consequence",
	bulletin.Remedy: "Remedy", bulletin.PartNo: "Parts", bulletin.Notes: "Notes"}

// remarks are what the table says of the campaign, in its own words.
func (a *draftAccount) remarks(c *bulletin.Campaign) []string {
	says := func(f bulletin.Field, sep string) string { return strings.Join(c.Said[f], sep) }
	head := slices.DeleteFunc([]string{says(bulletin.Make, ", "), cmp.Or(says(bulletin.Models, "; "), says(bulletin.Model, ", "))}, func(s string) bool { return s == "" })
	if many := says(bulletin.Affected, ", "); many != "" {
		head = append(head, "vehicles affected: "+many)
	}
	out := []string{cmp.Or(c.Number, "no number") + ": " + strings.Join(head, "; ")}
	for _, f := range []bulletin.Field{bulletin.Component, bulletin.Concern, bulletin.Defect, bulletin.Consequence, bulletin.Remedy, bulletin.PartNo, bulletin.Notes} {
		if text := says(f, "; "); text != "" {
			out = append(out, remarkHead[f]+": "+text)
		}
	}
	if len(c.Left) > 0 {
		out = append(out, "NOT in this entry, so that vehicles of the campaign are missing from it: "+a.places(c.Left)+"; why stands at the end of the file")
	}
	return out
}

// fit takes a range over with its rows and what must be settled.
func (a *draftAccount) fit(f *bulletin.Fit) config.DraftFit {
	out := config.DraftFit{Fit: f.Fit}
	var vehicles, beside []string
	for _, i := range f.Rows {
		r := &a.Rows[i]
		vehicles = few(vehicles, strings.TrimSpace(r.Make+" "+r.Model))
		beside = few(beside, r.Beside)
	}
	text := a.places(f.Rows) + ": " + strings.Join(vehicles, "; ")
	if len(beside) > 0 {
		text += "; the table also says " + strings.Join(beside, "; ") + ", left out as the range below decides"
	}
	out.Remarks = []string{text}
	for _, key := range slices.Sorted(maps.Keys(f.Open)) {
		b := config.DraftBlank{Key: string(key)}
		for _, i := range f.Open[key] {
			b.Why = append(b.Why, i.String())
			if i.Hint != "" {
				b.Hints = append(b.Hints, i.Hint)
			}
		}
		out.Blanks = append(out.Blanks, b)
	}
	return out
}

// few adds a text that the list does not have yet, up to 20.
func few(list []string, text string) []string {
	if text == "" || len(list) >= 20 || slices.Contains(list, text) {
		return list
	}
	return append(list, text)
}

// mostPlaces bounds how many stretches of rows are named.
const mostPlaces = 12

// places names rows: "recalls.csv, rows 6 to 9 and 12".
func (a *draftAccount) places(rows []int) string {
	var out []string
	var stretches []string
	for n := 0; n < len(rows); {
		r := &a.Rows[rows[n]]
		m := n
		for m+1 < len(rows) && rows[m+1] == rows[m]+1 && a.Rows[rows[m+1]].Row == a.Rows[rows[m]].Row+1 && sameSheet(&a.Rows[rows[m+1]], r) {
			m++
		}
		switch last := a.Rows[rows[m]].Row; {
		case m == n:
			stretches = append(stretches, strconv.Itoa(r.Row))
		case m == n+1:
			stretches = append(stretches, strconv.Itoa(r.Row), strconv.Itoa(last))
		default:
			stretches = append(stretches, fmt.Sprintf("%d to %d", r.Row, last))
		}
		if n = m + 1; n == len(rows) || !sameSheet(&a.Rows[rows[n]], r) {
			out = append(out, placeOf(r.File, r.Sheet)+", row"+ending(stretches)+" "+fewer(stretches))
			stretches = nil
		}
	}
	return strings.Join(out, "; ")
}

func sameSheet(a, b *bulletin.Row) bool { return a.File == b.File && a.Sheet == b.Sheet }

func ending(stretches []string) string {
	if len(stretches) > 1 || strings.Contains(stretches[0], " ") {
		return "s"
	}
	return ""
}

func fewer(stretches []string) string {
	if n := len(stretches); n > mostPlaces {
		return strings.Join(stretches[:mostPlaces], ", ") + fmt.Sprintf(" and %d more", n-mostPlaces)
	}
	return strings.Join(stretches, ", ")
}

// tellRow is a row with all that is said of it, in one line.
func tellRow(r *bulletin.Row) string {
	var who []string
	for _, s := range []string{r.Number, strings.TrimSpace(r.Make + " " + r.Model)} {
		if s != "" {
			who = append(who, s)
		}
	}
	text := fmt.Sprintf("%s, row %d", placeOf(r.File, r.Sheet), r.Row)
	if len(who) > 0 {
		text += " (" + strings.Join(who, ", ") + ")"
	}
	what := "not drafted"
	if r.Outcome != bulletin.Told {
		what = "drafted without it"
	}
	if r.Settle {
		what = "drafted, to settle"
	}
	var issues []string
	for i := range r.Issues {
		issues = append(issues, r.Issues[i].String())
		if h := r.Issues[i].Hint; h != "" && r.Outcome == bulletin.Told {
			issues = append(issues, h)
		}
	}
	return text + ": " + what + ": " + strings.Join(issues, "; ")
}
