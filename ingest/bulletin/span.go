package bulletin

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/vin"
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

// serials is what the cells of VINs say: whole VINs, or their last digits.
type serials struct{ vins, tails []score.SerialRange }

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

// readVINs reads the cells of a range of VINs.
func readVINs(first, last string, two bool) (serials, error) {
	if err := notGiven(first, last); err != nil {
		return serials{}, err
	}
	all, err := pairs(given(first), given(last), two)
	var out serials
	for _, p := range all {
		if err != nil {
			break
		}
		err = out.add(p)
	}
	if err == nil && len(out.vins) > 0 && len(out.tails) > 0 {
		err = errors.New("whole VINs and last digits of VINs stand in one list")
	}
	if err != nil {
		return serials{}, err
	}
	return out, nil
}

// given is a cell, or nothing where it says that there is nothing.
func given(cell string) string {
	if missing, _ := value.IsMissing(cell); missing || value.IsNone(cell) {
		return ""
	}
	return cell
}

// open stands for an open character while a VIN is cleaned, which takes the
// asterisks of a scanner away.
const open = "%"

// vinText cleans one end; characters that the range leaves open are * afterwards.
func vinText(s string) string {
	s = strings.NewReplacer("*", open, "#", open, "?", open, "_", open).Replace(s)
	text, _ := vin.Clean(s)
	return strings.ReplaceAll(text, open, "*")
}

// add judges one range. What is said of an end quotes it.
func (s *serials) add(p pair) error {
	a, b := vinText(p.from), vinText(p.to)
	if onlyDigits(a) && onlyDigits(b) && (len(a) < 17 || a[0] == '0') {
		return s.tail(a, b)
	}
	if err := tailLetters(a, b); err != nil {
		return err
	}
	for _, judge := range []func(string) error{seventeen, legal} {
		for _, end := range []string{a, b} {
			if err := judge(end); err != nil {
				return err
			}
		}
	}
	r, err := score.VINRange(a, b)
	switch i := differ(a, b); {
	case i >= 0:
		return &errUnusable{fmt.Sprintf("%s and %s differ at position %d, before the number: VINs of two models, plants or years have no order", a, b, i+1), byYear(a, b)}
	case err == nil:
		s.vins = append(s.vins, r)
		return nil
	case strings.Contains(err.Error(), "ends before it begins"):
		return &errUnusable{fmt.Sprintf("%s-%s ends before it begins", a, b), fmt.Sprintf("if its ends are swapped: vin: %q", b+"-"+a)}
	}
	return fmt.Errorf("%s and %s are no range: both need a number at their end and the same before it", a, b)
}

// tailLetters judges the 6 to 8 last characters of VINs, or what looks like them.
func tailLetters(a, b string) error {
	n := len(a)
	if n < 6 || n > 8 || !strings.ContainsFunc(a, unicode.IsLetter) {
		return nil
	}
	e := &errUnusable{text: fmt.Sprintf("%s has %d characters: the end of a VIN, or the maker's own number; which is not said", a, n)}
	stars := strings.Repeat("*", 17-n)
	if _, err := score.VINRange(stars+a, stars+b); len(b) == n && score.VINForm(stars+a) && score.VINForm(stars+b) && err == nil {
		e.hint = fmt.Sprintf("if these are the last %d characters: vin: %q", n, stars+a+"-"+stars+b)
	}
	return e
}

// yearLetters are the model years of position 10 in their order (49 CFR 565.15,
// table VII); the last is followed by the first.
const yearLetters = "123456789ABCDEFGHJKLMNPRSTVWXY"

// mostYears is over how many model years a range may reach for byYear.
const mostYears = 6

// byYear is what a range may mean whose ends differ in the model year alone: the
// numbers begin anew each year. It is empty where they differ otherwise.
func byYear(a, b string) string {
	from, to := strings.IndexByte(yearLetters, a[9]), strings.IndexByte(yearLetters, b[9])
	if a[:8] != b[:8] || a[10] != b[10] || from < 0 || to < 0 || a[9] == b[9] || !onlyDigits(a[11:]) || !onlyDigits(b[11:]) {
		return ""
	}
	years := (to - from + len(yearLetters)) % len(yearLetters)
	if years > mostYears {
		return ""
	}
	var out []string
	for y := 0; y <= years; y++ {
		head := a[:9] + yearLetters[(from+y)%len(yearLetters):][:1] + a[10:11]
		low, high := "000000", "999999"
		if y == 0 {
			low = a[11:]
		}
		if y == years {
			high = b[11:]
		}
		out = append(out, strconv.Quote(head+low+"-"+head+high))
	}
	return "if the numbers begin anew each model year: vin: [" + strings.Join(out, ", ") + "]"
}

// seventeen says why an end is no VIN by its length.
func seventeen(end string) error {
	switch n := len([]rune(end)); {
	case n == 17:
		return nil
	default:
		return fmt.Errorf("%s has %d characters; a VIN has 17", end, n)
	}
}

// legal says why an end of 17 characters is no VIN.
func legal(end string) error {
	for i, r := range end {
		switch {
		case r == 'I' || r == 'O' || r == 'Q':
			return fmt.Errorf("%s holds the letter %c at position %d, which no VIN has", end, r, i+1)
		case !score.VINForm(strings.Repeat("0", 16) + string(r)):
			return fmt.Errorf("%s holds %q, which no VIN has", end, r)
		}
	}
	if end[3:9] == "000000" {
		return fmt.Errorf("%s is filled up with zeros: no VIN of a vehicle looks like it", end)
	}
	return nil
}

// differ is the index of the first character in which two VINs may not differ: of
// the first 11 all but the check digit, since position 10 is mostly the model year
// and 11 the plant (49 CFR 565.15(d)). A 0 is no year (565.15, table VII): there
// the number begins at position 10. It is -1 where there is none.
func differ(a, b string) int {
	most := 11
	if a[9] == '0' && b[9] == '0' {
		most = 10
	}
	for i := range most {
		if i != 8 && a[i] != b[i] {
			return i
		}
	}
	return -1
}

// tail judges a range of the last digits of a VIN.
func (s *serials) tail(a, b string) error {
	switch {
	case len(a) > 8 && strings.HasPrefix(a, "0") || len(b) > 8 && strings.HasPrefix(b, "0"):
		return &errUnusable{fmt.Sprintf("%s and %s are serials filled up with zeros: how many digits of the VIN they are is not said", a, b), lastDigits(a, b)}
	case len(a) != len(b):
		return &errUnusable{fmt.Sprintf("%s and %s have different lengths: how many digits of the VIN they are is not said", a, b), lastDigits(a, b)}
	case len(a) > 8:
		return fmt.Errorf("%s has %d digits; a VIN has 17 characters, and at most 8 digits at its end are its number", a, len(a))
	case len(a) < 4:
		return fmt.Errorf("%s has only %d digits", a, len(a))
	}
	r, err := score.ParseSerialRange(a + "-" + b)
	if err == nil {
		err = r.Validate()
	}
	if err != nil {
		return &errUnusable{fmt.Sprintf("%s-%s ends before it begins", a, b), fmt.Sprintf("if its ends are swapped: vin_serial: %q", b+"-"+a)}
	}
	s.tails = append(s.tails, r)
	return nil
}

// lastDigits is what two numbers without the zeros in front may mean.
func lastDigits(a, b string) string {
	a, b = strings.TrimLeft(a, "0"), strings.TrimLeft(b, "0")
	n := max(len(a), len(b), 4)
	if n > 8 || a == "" || b == "" {
		return ""
	}
	a, b = strings.Repeat("0", n-len(a))+a, strings.Repeat("0", n-len(b))+b
	if b < a {
		return ""
	}
	return fmt.Sprintf("if they are the last %d digits of the VIN: vin_serial: %q", n, a+"-"+b)
}

// readTails reads the cells of a range of VIN serials, which hold digits alone.
func readTails(first, last string, two bool) ([]score.SerialRange, error) {
	got, err := readVINs(first, last, two)
	if err == nil && len(got.vins) > 0 {
		err = errors.New("whole VINs stand where the last digits of a VIN belong")
	}
	if err != nil {
		return nil, err
	}
	return got.tails, nil
}

// readSerials reads the cells of a range of engine serials, which have one prefix
// of letters on both ends.
func readSerials(first, last string, two bool) ([]score.SerialRange, error) {
	if err := notGiven(first, last); err != nil {
		return nil, err
	}
	all, err := pairs(given(first), given(last), two)
	if err != nil {
		return nil, err
	}
	var out []score.SerialRange
	for _, p := range all {
		r, err := serialRange(p)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

func serialRange(p pair) (score.SerialRange, error) {
	a, err := plainSerial(p.from)
	if err != nil {
		return score.SerialRange{}, err
	}
	b, err := plainSerial(p.to)
	if err != nil {
		return score.SerialRange{}, err
	}
	if a.Prefix != b.Prefix {
		return score.SerialRange{}, fmt.Errorf("%s and %s begin differently: such serials have no order", p.from, p.to)
	}
	r := score.SerialRange{From: a, To: b}
	switch {
	case b.Number < a.Number:
		return r, fmt.Errorf("%s-%s ends before it begins", p.from, p.to)
	case r.Validate() != nil:
		return r, fmt.Errorf("%s and %s have different lengths and leading zeros: write both alike", p.from, p.to)
	}
	return r, nil
}

// wordBeside is a word that stands in a text by itself and begins no serial: a
// catalogue would read "except KD4111111" as one serial.
var wordBeside = regexp.MustCompile(`(?i)(?:^|\s)(?:\pL{4,}|no|nr|not)\.?\s`)

// serialText is how a serial is written: a catalogue would read KD4110000/KD4168000
// and KD4110000-8000 as one number each.
var (
	serialText = regexp.MustCompile(`^[A-Za-z0-9\pZ-]+$`)
	twoNumbers = regexp.MustCompile(`\d{4}\s*-\s*\d{4}`)
)

// plainSerial reads letters and digits with a number at their end, which a workbook
// may have kept as a number ("740405.0").
func plainSerial(text string) (score.Serial, error) {
	if n, ok := strings.CutSuffix(text, ".0"); ok && onlyDigits(n) {
		text = n
	}
	s, err := score.ParseSerial(text)
	if err != nil || !serialText.MatchString(text) || wordBeside.MatchString(text) || twoNumbers.MatchString(text) {
		return score.Serial{}, fmt.Errorf("%q is no serial: letters and digits, with a number at the end", text)
	}
	return s, nil
}
