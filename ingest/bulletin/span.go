package bulletin

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"pitlist/ingest/value"
)

// pair is one range as it is written: two ends, or one text for both.
type pair struct{ from, to string }

var (
	betweenItems = regexp.MustCompile(`\s{2,}|[\n;,]|\s+(?:and|und|et|y)\s+|\s*&\s*`)
	leadingFrom  = regexp.MustCompile(`(?i)^(?:from|von|desde)\s+`)
	otherEnd     = regexp.MustCompile(`^\s*(?:-|–|—|\.\.|<|>|≥|≤)|(?:-|–|—|\.\.|\+)\s*$`)
	betweenEnds  = regexp.MustCompile(`(?i)\s+(?:to|until|bis|hasta|thru|through)\s+|\s+[-–—]\s+|\s*–\s*|\s*—\s*|\.\.+`)
	gapsAround   = regexp.MustCompile(`(?i)\s+(to|until|bis|hasta|thru|through|[-–—])\s+`)
	inBrackets   = regexp.MustCompile(`\([^()]*\)`)
)

var errADate = errors.New("a date stands where a VIN or a serial belongs")

// errNoRange is of a cell that gives no range and does not mean to: "Various".
type errNoRange struct{ text string }

func (e *errNoRange) Error() string { return e.text }

// errUnusable is of a range that cannot be used, with what it may mean: in the
// catalogue's form, for a person to confirm.
type errUnusable struct{ text, hint string }

func (e *errUnusable) Error() string { return e.text }

// pairs takes the cells of a range apart: lists of ranges in one cell, or lists
// of as many first ends as last ones.
func pairs(first, last string, two bool) ([]pair, error) {
	if thousands.MatchString(first) || thousands.MatchString(last) {
		return nil, errors.New("three figures stand behind a comma: a list, or one number in groups, cannot be told")
	}
	out, err := paired(items(first), items(last), two)
	for _, p := range out {
		if looksLikeDate.MatchString(p.from) || looksLikeDate.MatchString(p.to) {
			return nil, errADate
		}
	}
	return out, err
}

// thousands is a comma as it stands in 740,405.
var thousands = regexp.MustCompile(`(?:^|\D)\d{1,3}(?:,\d{3})+(?:\D|$)`)

func paired(a, b []string, two bool) ([]pair, error) {
	switch {
	case len(a) == 0 && len(b) == 0:
		return nil, nil
	case len(b) == 0:
		return alone(a, two)
	case len(a) == 0:
		return nil, errors.New("only the last of the range is given")
	case len(a) != len(b):
		return nil, fmt.Errorf("%d first ends and %d last ends stand in the two cells: which belong together cannot be told", len(a), len(b))
	}
	out := make([]pair, len(a))
	for i := range a {
		if len(ends(trimEnds(a[i]))) > 1 || len(ends(trimEnds(b[i]))) > 1 {
			return nil, errors.New("a range stands in the cell of one end, and the other cell is not empty")
		}
		out[i] = pair{trimEnds(a[i]), trimEnds(b[i])}
	}
	return out, nil
}

// alone takes ranges that stand in one cell. In a column of first ends one VIN is
// no range: its end is not given. Nor is one with a word or a dash for an end that
// is left open.
func alone(cells []string, two bool) ([]pair, error) {
	var out []pair
	for _, c := range cells {
		switch e := ends(trimEnds(c)); {
		case len(e) == 2:
			out = append(out, pair{e[0], e[1]})
		case len(e) > 2:
			return nil, fmt.Errorf("%q has more than two ends", c)
		case two:
			return nil, errors.New("open ended: only the first of the range is given")
		case otherEnd.MatchString(c) || saysOneEnd(c):
			return nil, fmt.Errorf("open ended: %q gives only one end of a range", c)
		default:
			out = append(out, pair{e[0], e[0]})
		}
	}
	return out, nil
}

// items parts a cell into what stands in it.
func items(cell string) []string {
	var out []string
	cell = gapsAround.ReplaceAllString(strings.TrimSpace(inBrackets.ReplaceAllString(cell, " ")), " $1 ")
	for _, s := range betweenItems.Split(cell, -1) {
		if s = strings.TrimSpace(s); trimEnds(s) != "" {
			out = append(out, s)
		}
	}
	return out
}

// trimEnds takes stray blanks, dashes and points off the ends of an item.
func trimEnds(s string) string { return strings.Trim(s, " \t\u00a0-–—.") }

// oneEnd are words beside the one end of a range whose other end is left open.
var oneEnd = append(slices.Concat(firstWords, lastWords), "up", "since", "after", "before", "onward", "onwards", "on", "later", "earlier", "seit", "vor", "nach", "jusqu", "depuis", "partir")

// saysOneEnd tells a text with such a word. Two capitals may be how a serial
// begins: "AB 740405", but not "ab 740405".
func saysOneEnd(s string) bool {
	for _, w := range strings.Fields(s) {
		if slices.Contains(oneEnd, normal(w)) && (len(w) > 2 || w != strings.ToUpper(w)) {
			return true
		}
	}
	return false
}

// ends parts a range at its word or its dash. A hyphen between two texts of one
// length parts them where each alone could be an end (740405-872978, not HA3W-0000895).
func ends(item string) []string {
	if e := betweenEnds.Split(item, -1); len(e) > 1 {
		if len(e) == 2 {
			e[0] = leadingFrom.ReplaceAllString(e[0], "")
		}
		return e
	}
	if e := strings.Split(item, "-"); len(e) == 2 {
		a, b := strings.TrimSpace(e[0]), strings.TrimSpace(e[1])
		if len(a) == len(b) && len(a) >= 4 && hasDigit(a) && hasDigit(b) || onlyDigits(a) && onlyDigits(b) {
			return []string{a, b}
		}
	}
	return []string{item}
}

func hasDigit(s string) bool { return strings.ContainsAny(s, "0123456789") }

func onlyDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

var (
	looksLikeDate = regexp.MustCompile(`^\d{1,4}[./-]\d{1,2}[./-]\d{1,4}$`)
	asNumber      = regexp.MustCompile(`^\d(?:[.,]\d+)?[eE]\+?\d+$`)
)

// notGiven tells what a cell of a range says that is no range at all: nothing, a
// word, a date.
func notGiven(cells ...string) error {
	text, digits := "", false
	for _, c := range cells {
		if given(c) == "" {
			continue
		}
		if looksLikeDate.MatchString(strings.TrimSpace(c)) {
			return errADate
		}
		if asNumber.MatchString(strings.TrimSpace(c)) {
			return errors.New("it was kept as a number, and its last digits are gone: enter it as text")
		}
		text, digits = c, digits || hasDigit(c)
	}
	switch {
	case text == "":
		return &errNoRange{}
	case !digits && elsewhere.MatchString(text):
		return errors.New("the range stands elsewhere, as these words say")
	case !digits:
		return &errNoRange{"there is no VIN or serial in these words"}
	}
	return nil
}

// elsewhere are words that say that a range is given, but not here.
var elsewhere = regexp.MustCompile(`(?i)\b(?:see|list|listed|lists|attached|attachment|enclosed|annex|appendix|refer|siehe|liste|anlage|voir|annexe|ver|véase|lista|adjunta|anexo)\b`)

// given is a cell, or nothing where it says that there is nothing.
func given(cell string) string {
	if missing, _ := value.IsMissing(cell); missing || value.IsNone(cell) {
		return ""
	}
	return cell
}
