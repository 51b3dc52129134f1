package report

import (
	"fmt"
	"math"

	"pitlist/score/plan"
)

// offerHead says in a few sentences what a buying desk's list holds.
func offerHead(d *Document) []string {
	if len(d.list.Offers) == 0 {
		return []string{"No vehicle could be judged; see the sheet of rows to mend."}
	}
	count := map[plan.Verdict]int{}
	for i := range d.list.Offers {
		count[d.list.Offers[i].Verdict]++
	}
	one := "vehicle"
	if d.Viewing != nil {
		one = "lot"
	}
	out := []string{fmt.Sprintf("Of %s: leave %d, look first at %d, take %d for less, take %d.", counted(len(d.list.Offers), one),
		count[plan.Leave], count[plan.LookFirst], count[plan.TakeLess], count[plan.Take])}
	if d.Viewing != nil {
		out = append(out, viewingWords(d.Viewing, d.Run.Currency))
	}
	if d.Stock != nil {
		out = append(out, d.Stock.Words...)
	}
	if odds := saleOdds(d); odds != 0 {
		out = append(out, fmt.Sprintf("In every figure the odds that a part is worn are taken %s times as high as its curve says, since the vehicle is for sale: the job's own judgement.", trimmed(odds)))
	}
	if missing := unreckoned(d); missing != "" {
		out = append(out, missing)
	}
	return out
}

// saleOdds is what the job multiplies the odds by; 0: nothing.
func saleOdds(d *Document) float64 {
	for i := range d.assessments {
		for j := range d.assessments[i].Findings {
			if odds := d.assessments[i].Findings[j].SaleOdds; odds != 0 {
				return odds
			}
		}
	}
	return 0
}

func viewingWords(v *plan.Viewing, currency string) string {
	s := fmt.Sprintf("Walk to %s in %s of %s minutes of looking, the way between them not counted; what is seen there is expected to move %s.",
		counted(v.Lots, "lot"), trimmed(v.Used), trimmed(v.Given), Money(v.Swing, currency))
	s += fmt.Sprintf(" No look can move %s", counted(v.Nothing, "lot"))
	if v.Passed > 0 {
		s += fmt.Sprintf("; for %s there are no minutes left", counted(v.Passed, "lot"))
	}
	s += "."
	if v.LooksLeft > 0 {
		s += fmt.Sprintf(" Of lots with very many checks the %d least telling were not weighed.", v.LooksLeft)
	}
	return s
}

// offerLine says what the line means on a buying desk.
func offerLine(d *Document) string {
	if d.Viewing != nil {
		return "Lots stand in the order of the yard; those marked are walked to."
	}
	return "Above the line: what to put through the workshop before it is sold on, the greatest worth for an hour first. " + line(d)
}

// StockRow speaks of all vehicles of a trade-in list together.
type StockRow struct {
	plan.Stock
	Workshop int     // vehicles to put through the workshop before they are sold on
	Hours    float64 // bay-hours that this takes
	Worth    float64 // what it is worth
	Words    []string
}

func stockRow(l *plan.List, currency string) *StockRow {
	s := &StockRow{Stock: l.Stock}
	for i := range l.Rows {
		if r := &l.Rows[i]; r.Above && r.Hours > 0 {
			s.Workshop, s.Hours, s.Worth = s.Workshop+1, s.Hours+r.Hours, s.Worth+r.Worth
		}
	}
	bills := fmt.Sprintf("The bills of all are expected to come to %s: %s to %s in 8 of 10 cases", Money(s.Expected, currency), Money(s.P10, currency), Money(s.P90, currency))
	if math.Round(s.Within) >= 1 {
		bills += fmt.Sprintf(" (these two within %s of the exact ones)", Money(s.Within, currency))
	}
	s.Words = []string{bills + ".", fmt.Sprintf("Put %s through the workshop before sale: %s, worth %s.", counted(s.Workshop, "vehicle"), hours(s.Hours), Money(s.Worth, currency))}
	return s
}

// KitRow is how many kits of one part to hold until the next delivery.
type KitRow struct {
	Part, Name, PartNo string
	Places             int     // vehicle-parts that may need one
	Expected           float64 // kits
	Hold               int     // kits
	Pieces             int     // of PartNo: Hold times what a kit holds
}

func kitRows(kits []plan.KitNeed) []KitRow {
	out := make([]KitRow, 0, len(kits))
	for _, k := range kits {
		out = append(out, KitRow{k.Part.ID, k.Part.Name, k.Part.Kit.PartNo, k.Places, finite(k.Expected), k.Hold, k.Pieces})
	}
	return out
}

// CheckFirstRow is a cheap check that pays before the bay.
type CheckFirstRow struct {
	LookRow
	Worth, Gain float64 // of checking first; over the better of opening at once and leaving it
	Opened      float64 // chance that it is then opened
	HoursSaved  float64 // bay-hours that it is expected to save; below 0: it opens what would be left
	Words       string
}

func checkFirstRow(row *plan.Row, currency string) *CheckFirstRow {
	c := row.Check
	if c == nil {
		return nil
	}
	r := &CheckFirstRow{LookRow: lookRow(&c.Look), Worth: finite(c.Worth), Gain: finite(c.Gain), Opened: finite(c.Opened), HoursSaved: finite(c.HoursNow - c.Hours)}
	than := "opening it at once"
	if c.AtOnce == 0 {
		than = "leaving it"
	}
	r.Words = fmt.Sprintf("Check first: %s; open it only if that speaks for it (chance %s). Worth %s more than %s.",
		lookWords(&c.Look), Percent(c.Opened), Money(c.Gain, currency), than)
	return r
}

// ServiceRow is a service that is due within the weeks ahead.
type ServiceRow struct {
	plan.Service
	Words string
}

func serviceRow(row *plan.Row, currency string) *ServiceRow {
	s := row.Service
	if s == nil {
		return nil
	}
	r := &ServiceRow{Service: *s}
	switch {
	case s.Now:
		r.Words = fmt.Sprintf("In for service on %s, before the next run: opened then, the set-up costs nothing (%s saved).", date(s.Day), Money(s.Saves, currency))
	case s.Better:
		r.Words = fmt.Sprintf("Have it opened at the service on %s: %s of set-up saved, and waiting until then costs %s.", date(s.Day), Money(s.Saves, currency), Money(s.Waiting, currency))
	default:
		r.Words = fmt.Sprintf("Do not wait for the service on %s: waiting costs %s, the set-up saved would be %s.", date(s.Day), Money(s.Waiting, currency), Money(s.Saves, currency))
	}
	return r
}
