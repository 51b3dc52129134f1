package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
)

// Onward is the demo's fleet after its day: it drives on, parts wear and fail
// by the true curves, scan tools and drivers tell what they see, and what the
// workshop opens and renews changes what happens next. It is for playing weeks
// of lists whose results come back; the demo itself ends with its day.
type Onward struct {
	fleet  []*vehicle
	seed   uint64
	day    day
	queue  []line // workshop lines of this week, not told yet
	Served Served
}

// Served counts what happened since the demo's day.
type Served struct {
	Failures int     // in service
	Opened   int     // parts opened
	Hits     int     // parts opened and found worn that were worn
	Lost     float64 // money: failures in service by what the catalogue says they cost
}

// line is one line of the workshop's book.
type line struct {
	v    *vehicle
	day  day
	text string
}

// PlayOn draws the demo's fleet of the seed again, on the demo's day.
func PlayOn(seed uint64) *Onward {
	o := &Onward{fleet: drawFleet(seed), seed: seed, day: today}
	for _, v := range o.fleet {
		for _, l := range v.lives {
			if l.state == Sound && l.alive() { // a worn one's span is there
				l.spans = append(l.spans, span{l.onset, l.fail})
			}
		}
	}
	return o
}

// weekly draws the random numbers of one vehicle in one week from a stream of
// their own, so that what the workshop does to one vehicle moves no other.
func (o *Onward) weekly(n int) *rand.Rand {
	return rand.New(rand.NewPCG(o.seed^0x9E3779B97F4A7C15, uint64(o.day)<<16|uint64(n)))
}

// Week lets seven days pass and returns what the fleet's people wrote in them:
// the vehicle list with its readings, the workshop's lines, the scans.
func (o *Onward) Week(cost func(part string) float64) []File {
	from := o.day
	o.day += 7
	scans := [][]string{{"unit", "vin", "date", "odometer_km", "codes", "km_since_clear"}}
	for n, v := range o.fleet {
		if v.sold {
			continue
		}
		v.rng = o.weekly(n)
		for _, l := range v.lives {
			o.wears(v, l, from, cost)
		}
		if v.chance(0.12) {
			d := o.day - 1 - day(v.rng.IntN(6))
			codes := strings.Join(append(v.shown(d), v.otherCodes()...), "; ")
			if codes == "" {
				codes = "no codes"
			}
			scans = append(scans, []string{v.unit, v.vin, dated(d), whole(v.km(d)), codes, ""})
		}
	}
	return []File{
		{"intake/vehicles.csv", sheetOf(o.list())},
		{"intake/workshop.csv", sheetOf(o.workshop())},
		{"intake/scans.csv", sheetOf(scans)},
	}
}

// wears lets a part's life go on through the week.
func (o *Onward) wears(v *vehicle, l *partLife, from day, cost func(string) float64) {
	if l.state == Failed || l.foundWorn {
		o.renews(v, l, from+1+day(v.rng.IntN(5)), pick(v, v.says(l).planned))
		return
	}
	if !l.alive() {
		return
	}
	now, next := v.at(l.part, from), v.at(l.part, o.day)
	if l.onset > now && l.onset <= next && v.chance(l.part.words.worn) {
		o.queue = append(o.queue, line{v, min(v.when(l.part, l.onset)+1, o.day-1), pick(v, v.says(l).symptom)})
	}
	if l.fail <= next {
		o.Served.Failures++
		o.Served.Lost += cost(l.part.id)
		o.renews(v, l, min(max(v.when(l.part, l.fail), from), o.day-1), pick(v, v.says(l).failed))
	}
}

// alive tells that a part wears on: of the weak population, and not renewed
// with one that does not wear so.
func (l *partLife) alive() bool {
	return l.member && l.state != Improved && l.state != Rectified
}

// renews puts a new part in and writes it down.
func (o *Onward) renews(v *vehicle, l *partLife, d day, text string) {
	o.queue = append(o.queue, line{v, d, text})
	if n := len(l.spans); n > 0 {
		s := &l.spans[n-1]
		s.to = min(s.to, v.at(l.part, d))
	}
	l.foundWorn, l.heard = false, false
	l.renewed, l.renewedOn = v.at(l.part, d), d
	if l.part.improved {
		l.state = Improved
		return
	}
	l.state = Sound
	l.onset, l.fail = v.stages(l, l.renewed)
	l.spans = append(l.spans, span{l.onset, l.fail})
}

// Open is what a look at a part on a day finds: "worn" or "sound". What is
// found worn is renewed on the same day, with the words that it returns.
func (o *Onward) Open(unit, part string) (found, done string) {
	i := slices.IndexFunc(o.fleet, func(v *vehicle) bool { return v.unit == unit })
	if i < 0 {
		return "", ""
	}
	v := o.fleet[i]
	j := slices.IndexFunc(v.lives, func(l *partLife) bool { return l.part.id == part })
	if j < 0 {
		return "", ""
	}
	l := v.lives[j]
	v.rng = o.weekly(1<<15 | i<<2 | j)
	o.Served.Opened++
	worn := l.alive() && v.at(l.part, o.day) >= l.onset
	chance := l.part.falseFind
	if worn {
		chance = l.part.detects
	}
	if !v.chance(chance) {
		return "sound", ""
	}
	if worn {
		o.Served.Hits++
	}
	done = pick(v, v.says(l).planned)
	o.renews(v, l, o.day, done)
	o.queue = o.queue[:len(o.queue)-1] // the returned list says it
	return "worn", done
}

// list is the vehicle list of the week.
func (o *Onward) list() [][]string {
	out := [][]string{{"unit", "vin", "registration", "depot", "make", "model", "model_year", "engine_family", "engine_serial", "build_date", "in_service_date",
		"odometer_km", "odometer_date", "engine_hours", "status"}}
	for _, v := range o.fleet {
		status, family, engine, built := "in use", v.family, v.engine, dated(v.built)
		if v.sold {
			status = "sold"
		}
		if v.hidesEngine {
			family, engine = "", ""
		}
		if v.hidesDate {
			built = ""
		}
		hours := ""
		if v.hoursWeek[1] > 0 {
			hours = whole(v.h(o.day - 1))
		}
		out = append(out, []string{v.unit, v.vin, v.reg, v.depot, v.make, v.model, fmt.Sprint(v.year), family, engine, built, dated(v.inService),
			whole(v.km(o.day - 1)), dated(o.day - 1), hours, status})
	}
	return out
}

// workshop tells the week's lines and forgets them.
func (o *Onward) workshop() [][]string {
	out := [][]string{{"unit", "date", "odometer_km", "text", "status"}}
	slices.SortStableFunc(o.queue, func(a, b line) int { return int(a.day - b.day) })
	for _, l := range o.queue {
		out = append(out, []string{l.v.unit, dated(l.day), whole(l.v.km(l.day)), l.text, "done"})
	}
	o.queue = nil
	return out
}

func dated(d day) string     { return d.time().Format("2006-01-02") }
func whole(x float64) string { return fmt.Sprintf("%.0f", math.Round(x)) }

func sheetOf(rows [][]string) []byte {
	var b strings.Builder
	for _, r := range rows {
		for i, c := range r {
			if i > 0 {
				b.WriteByte(',')
			}
			if strings.ContainsAny(c, ",\"") {
				c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
			}
			b.WriteString(c)
		}
		b.WriteByte('\n')
	}
	return []byte(b.String())
}
