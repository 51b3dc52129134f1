package demo

import "pitlist/score/life"

// partLife is what really happens to one part of one vehicle, on the part's
// own axis.
type partLife struct {
	part      *part
	member    bool // of the weak population
	known     bool // the vehicle list shows whether it is
	spans     []span
	renewed   float64 // place of the last renewal; 0 none
	renewedOn day
	state     State
	foundWorn bool
	heard     bool // the vehicle list's remarks tell of a symptom
	// The life that goes on beyond today: places of its onset and its failure.
	onset, fail float64
}

// span is a stretch during which the part was worn: (from, to].
type span struct{ from, to float64 }

// wornAt tells the state at a place on the axis.
func (l *partLife) wornAt(x float64) bool {
	for _, s := range l.spans {
		if x >= s.from && x < s.to {
			return true
		}
	}
	return false
}

// live lives the life of every part that the vehicle has.
func (v *vehicle) live() {
	for _, p := range v.parts {
		l := &partLife{part: p}
		apt := l.belong(v)
		v.lives = append(v.lives, l)
		v.liveOne(l, apt)
	}
	v.services()
}

// belong decides membership as the catalogue's ranges do on complete facts.
// It returns whether the list leaves the vehicle in the range, or in doubt.
func (l *partLife) belong(v *vehicle) bool {
	l.known = true
	switch l.part {
	case pumpFollower:
		apt := v.year >= 2015 && v.year <= 2018
		l.member = apt && v.engine >= "HD4110000" && v.engine <= "HD4168000"
		l.known = !v.hidesEngine || !apt
	case phaserTensioner:
		l.member = v.built >= on(2015, 3, 1) && v.built <= on(2018, 9, 30)
		l.known = !v.hidesDate
	case rackJoint:
		l.member = v.year >= 2014 && v.year <= 2020
	case actuatorLinkage:
		l.member = v.family == "D7B"
		l.known = !v.hidesEngine
	default:
		l.member = true
	}
	return l.member || !l.known
}

// liveOne runs the delay-time model through inspections, planned renewals and
// failures up to today.
func (v *vehicle) liveOne(l *partLife, apt bool) {
	if !l.member {
		l.state = Immune
	} else {
		l.state = Sound
	}
	visits := v.visits(apt)
	for start := 0.0; ; {
		onset, fail := v.stages(l, start)
		l.onset, l.fail = onset, fail
		end, ended := v.untilFailure(l, onset, fail, visits)
		if !ended {
			end, ended = v.failure(l, onset, fail)
		}
		if !ended || l.state == Improved || l.state == Rectified {
			return
		}
		start = end
	}
}

// stages draws where the part becomes worn and where it fails.
func (v *vehicle) stages(l *partLife, start float64) (onset, fail float64) {
	const never = 1e12
	if !l.member {
		return never, 2 * never
	}
	onset = start + quantile(v, l.part.onset)
	return onset, onset + quantile(v, l.part.delay)
}

func quantile(v *vehicle, d life.Distribution) float64 { return d.Quantile(v.rng.Float64()) }

// visit is a day on which the workshop looks at the part, or renews it
// whatever its state.
type visit struct {
	day     day
	planned bool
}

// visits draws the looks at one part, in the order of time. They come by the
// calendar, not by what anyone heard: inspections say nothing of themselves.
func (v *vehicle) visits(apt bool) []visit {
	if !apt {
		return nil
	}
	var out []visit
	from := max(v.recordsFrom+30, today-1500)
	if v.chance(0.4) {
		out = append(out, visit{day: v.dayBetween(from, today-4)})
	}
	if v.chance(0.05) {
		out = append(out, visit{day: v.dayBetween(from, today-20), planned: true})
	}
	if len(out) == 2 && out[0].day > out[1].day {
		out[0], out[1] = out[1], out[0]
	}
	return out
}

// untilFailure makes the visits before the failure; it ends with the first
// that renews the part.
func (v *vehicle) untilFailure(l *partLife, onset, fail float64, visits []visit) (end float64, ended bool) {
	for _, s := range visits {
		x := v.at(l.part, s.day)
		if s.day <= l.renewedOn || x >= fail {
			continue
		}
		if s.planned {
			v.repaired(l, s.day, pick(v, v.says(l).planned))
			v.renew(l, s.day, onset)
			return x, true
		}
		worn := x >= onset
		found := v.chance(l.part.falseFind)
		if worn {
			found = v.chance(l.part.detects)
		}
		v.inspected(l, s.day, found)
		if !found {
			continue
		}
		if worn && fail > v.at(l.part, today) && today-s.day < 100 {
			l.foundWorn, l.state = true, Worn // waits for its repair
			l.spans = append(l.spans, span{onset, fail})
			return 0, false
		}
		v.repaired(l, s.day, pick(v, v.says(l).planned))
		v.renew(l, s.day, onset)
		return x, true
	}
	return 0, false
}

func (v *vehicle) says(l *partLife) wording { return l.part.says[v.lang] }

// failure lets the part fail, where that is before today: before the records
// begin nobody wrote it down.
func (v *vehicle) failure(l *partLife, onset, fail float64) (end float64, ended bool) {
	if l.foundWorn {
		return 0, false
	}
	if now := v.at(l.part, today); fail > now {
		if now >= onset {
			l.state = Worn
			l.spans = append(l.spans, span{onset, fail})
		}
		return 0, false
	}
	when := v.when(l.part, fail)
	if today-when < 30 && when > v.recordsFrom {
		l.state = Failed
		l.spans = append(l.spans, span{onset, fail})
		v.inspections = append(v.inspections, inspection{day: min(when+1, today-1), part: v.says(l).name, finding: map[string]string{english: "failed", norsk: "havarert"}[v.lang]})
		return 0, false
	}
	if when > v.recordsFrom {
		v.repaired(l, when, pick(v, v.says(l).failed))
		v.renew(l, when, onset)
		return fail, true
	}
	l.renewed, l.renewedOn = fail, when
	if l.part.improved {
		l.state = Rectified
	}
	return fail, true
}

// renew puts a new part in on a day.
func (v *vehicle) renew(l *partLife, d day, onset float64) {
	x := v.at(l.part, d)
	if x >= onset {
		l.spans = append(l.spans, span{onset, x})
	}
	l.renewed, l.renewedOn = x, d
	switch {
	case l.part.improved:
		l.state = Improved
	case l.member:
		l.state = Sound
	}
}

// repair, inspection and scan are what was written down, in true figures.
type repair struct {
	day    day
	text   string
	status string // of the workshop's status column: done, declined, recommended
	cost   float64
	spare  bool // says nothing of any weak part: may be spoilt by a fault
}

type inspection struct {
	day     day
	part    string
	finding string
	measure string
	value   float64
}

type scan struct {
	day   day
	codes []string
	since float64 // km since codes were erased; negative: not written down
	spare bool    // an older scan: only its reading counts
}

func (v *vehicle) repaired(l *partLife, d day, text string) {
	v.repairs = append(v.repairs, repair{day: d, text: text, status: "done", cost: 200 + 40*float64(v.rng.IntN(70))})
}

func (v *vehicle) inspected(l *partLife, d day, found bool) {
	word := map[string][2]string{english: {"sound", "worn"}, norsk: {"i orden", "slitt"}}[v.lang]
	n := inspection{day: d, part: v.says(l).name, finding: word[0]}
	if found {
		n.finding = word[1]
	}
	v.inspections = append(v.inspections, n)
}

// services writes the workshop lines that say nothing of weak parts: the first
// record, and a service a year.
func (v *vehicle) services() {
	first := map[string]string{english: "Pre-delivery check, plates fitted", norsk: "Klargjøring og skilting"}
	if v.recordsFrom > v.inService {
		first = map[string]string{english: "Taken over from former operator, service A", norsk: "Overtatt fra annen etat, service A"}
	}
	v.repairs = append(v.repairs, repair{day: v.recordsFrom, text: first[v.lang], status: "done", cost: 180})
	lines := map[string][]string{
		english: {"Service A, oil and filter", "Service B, oil, filters, brake fluid", "Tyres front axle replaced", "Wiper blades and washer fluid", "Battery replaced", "Air filter changed, door seal glued", "Annual test passed"},
		norsk:   {"Service A, olje og oljefilter", "Service B, olje, filtre, bremsevæske", "Nye dekk foran", "Viskerblader byttet", "Batteri byttet", "EU-kontroll godkjent"},
	}[v.lang]
	for d := max(v.recordsFrom, today-1700) + day(200+v.rng.IntN(200)); d < today-6; d += day(300 + v.rng.IntN(220)) {
		v.repairs = append(v.repairs, repair{day: d, text: pick(v, lines), status: "done", cost: 90 + 10*float64(v.rng.IntN(40)), spare: true})
	}
	for i := range v.repairs {
		if v.repairs[i].day >= today {
			v.repairs[i].day = today - 1
		}
	}
}
