package header

import (
	"math"
	"slices"
	"time"

	"pitlist/ingest/value"
)

// Below usualMonth a figure may be what one month's driving comes to, above mostMonth it is none, km (common practice, no source).
const (
	usualMonth = 5000
	mostMonth  = 30000
	mostHours  = 744 // of a month of 31 days: what rises by less may be an hour meter
)

// hundredths reports figures that are mostly written with two decimals, as money and litres are and no odometer shows them.
func (s *sheet) hundredths(cols []int) bool {
	figures, with := 0, 0
	for _, i := range cols {
		for _, v := range s.values(i) {
			figures++
			if n := len(v); n > 3 && (v[n-3] == '.' || v[n-3] == ',') && isFigure(v) {
				with++
			}
		}
	}
	return with*2 > figures
}

// shape is how the figures of a history run along its rows.
type shape struct {
	rows  int // with two figures or more
	rise  int // rows that never fall, and end higher
	big   int // rows whose last figure is no month's driving; beside a column of odometers, at least half of it
	near  int // rows whose last figure is the odometer beside it, give or take 5 % of it
	fresh int // rows that begin with what one step comes to: counted from zero
	leaps int // rows that rise by more than any month's driving, on an average
	slow  int // rows that rise by no more than the hours of a month, on an average
}

func (h shape) rises() bool {
	return h.rows > 0 && h.rise*10 >= h.rows*9 && h.fresh*2 <= h.rows && h.leaps*2 <= h.rows
}

func (h shape) large() bool { return h.big*2 > h.rows }

func (h shape) mayBeHours() bool { return h.slow*2 > h.rows }

func (h shape) agrees() bool { return h.near*2 > h.rows }

func (s *sheet) shapeOf(cols []int) (h shape) {
	for _, r := range s.below {
		figures, months := s.history(r, cols)
		if len(figures) < 2 {
			continue
		}
		h.rows++
		first, last := figures[0], figures[len(figures)-1]
		step := (last - first) / float64(len(figures)-1)
		odometer, beside := s.odometerOf(r)
		if slices.IsSorted(figures) && last > first {
			h.rise++
		}
		if first > 0 && first <= 1.5*step {
			h.fresh++
		}
		if last-first > mostMonth*months {
			h.leaps++
		}
		if last-first <= mostHours*months {
			h.slow++
		}
		switch {
		case !beside && last >= usualMonth, beside && last >= odometer/2:
			h.big++
		}
		if beside && math.Abs(last-odometer) <= 0.05*odometer {
			h.near++
		}
	}
	return h
}

// history gives a row's figures by the month, and how many months they span: one at least.
func (s *sheet) history(row []string, cols []int) (figures []float64, months float64) {
	var from, to time.Time
	for _, i := range cols {
		if v, ok := figure(row, i); ok {
			if figures = append(figures, v); from.IsZero() {
				from = s.cols[i].Day
			}
			to = s.cols[i].Day
		}
	}
	const hoursOfMonth = 24 * 365.25 / 12
	return figures, max(1, to.Sub(from).Hours()/hoursOfMonth)
}

func figuresOf(row []string, cols []int) (out []float64) {
	for _, i := range cols {
		if v, ok := figure(row, i); ok {
			out = append(out, v)
		}
	}
	return out
}

func figure(row []string, i int) (float64, bool) {
	if i >= len(row) {
		return 0, false
	}
	return figureIn(row[i])
}

func figureIn(v string) (float64, bool) {
	n, _, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
	return n, err == nil
}

func isFigure(v string) bool {
	_, ok := figureIn(v)
	return ok
}

// odometerOf is what the row's own odometer says.
func (s *sheet) odometerOf(row []string) (float64, bool) {
	for i := range s.live {
		if topField(s.live[i]) == Odometer {
			if v, ok := figure(row, i); ok {
				return v, true
			}
		}
	}
	return 0, false
}

// summed reports a column that adds the months up in nine rows of ten: what is added up is no reading.
func (s *sheet) summed(cols []int) bool {
	for i := range s.cols {
		if slices.Contains(cols, i) {
			continue
		}
		rows, sums := 0, 0
		for _, r := range s.below {
			total, ok := figure(r, i)
			figures := figuresOf(r, cols)
			if !ok || len(figures) < 2 {
				continue
			}
			rows++
			for _, v := range figures {
				total -= v
			}
			if math.Abs(total) <= 1 {
				sums++
			}
		}
		if rows > 0 && sums*10 >= rows*9 {
			return true
		}
	}
	return false
}
