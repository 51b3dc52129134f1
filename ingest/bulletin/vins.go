package bulletin

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"pitlist/score"
	"pitlist/score/vin"
)

// serials is what the cells of VINs say: whole VINs, or their last digits.
type serials struct{ vins, tails []score.SerialRange }

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

// mostYears is over how many model years a range may reach for byYear.
const mostYears = 6

// byYear is what a range may mean whose ends differ in the model year alone: the
// numbers begin anew each year. It is empty where they differ otherwise.
func byYear(a, b string) string {
	from, to := strings.IndexByte(vin.YearCodes, a[9]), strings.IndexByte(vin.YearCodes, b[9])
	if a[:8] != b[:8] || a[10] != b[10] || from < 0 || to < 0 || a[9] == b[9] || !onlyDigits(a[11:]) || !onlyDigits(b[11:]) {
		return ""
	}
	years := (to - from + len(vin.YearCodes)) % len(vin.YearCodes)
	if years > mostYears {
		return ""
	}
	var out []string
	for y := 0; y <= years; y++ {
		head := a[:9] + vin.YearCodes[(from+y)%len(vin.YearCodes):][:1] + a[10:11]
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
	if n := len([]rune(end)); n != 17 {
		return fmt.Errorf("%s has %d characters; a VIN has 17", end, n)
	}
	return nil
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
