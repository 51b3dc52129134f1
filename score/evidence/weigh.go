package evidence

import (
	"math"
	"slices"

	"pitlist/score/dtc"
)

// Scan is the latest reading of the vehicle's fault memory since the part was
// last renewed. Distances are on the part's own axis, except SinceClear.
type Scan struct {
	Codes      []dtc.Reading
	At         float64 // own distance when it was read
	SinceClear float64 // km since codes were last erased; negative: not known
	Day        int32   // days since 1970; for ordering against treatments
	KM         float64 // odometer at the scan; negative: not known
	Carried    bool    // KM was not on the row: its day was carried to a distance
	// OldPart: the known SinceClear exceeds the km since the part was renewed,
	// so a stored code may date from the part that left.
	OldPart bool
	Ref     int // the caller's key, returned untouched
}

// Treatment is a repair of a symptom that was done: a sensor renewed, a code
// erased. It never resets the part.
type Treatment struct {
	Phrase  int // index of the treatment's phrase, as the caller numbers them
	Day     int32
	KM      float64 // odometer; negative: not known
	Carried bool    // KM was not on the row: its day was carried to a distance
	Ref     int
}

// Word is a phrase heard of the part: not negated, not "checked and good".
type Word struct {
	Phrase int
	At     float64
	Ref    int
}

// Measure is a measured value of the part.
type Measure struct {
	Name  string
	Value float64
	At    float64
	Ref   int
}

// Facts are all that was seen of one vehicle-part since its last renewal.
type Facts struct {
	Now        float64 // own distance now
	Scan       *Scan   // nil: not scanned since the renewal
	Treatments []Treatment
	Words      []Word
	Measures   []Measure
	TextRead   bool  // any workshop or driver text of the vehicle was read
	Texts      Texts // the kinds of them since the renewal
}

// Observation is what one group says: Rule speaks (Rule >= 0), or the group
// is silent where silence counts (Rule == None).
type Observation struct {
	Group, Rule int
	At          float64 // own distance at which it was seen
	SinceClear  float64 // km since erasing, for a scan's observations; negative: not known
	Worn        float64 // P(observation | worn)
	NotWorn     float64 // P(observation | not worn)
	OfScan      bool    // a silence of the scan (codes), not of a text
	Ref         int     // the fact that made the rule speak; -1 for a silence
	Treated     int     // the treatment's Ref for a code that came back; else -1
}

// None is the Rule of an observation that is a silence.
const None = -1

// Phrases resolves a rule's words to the numbers that Facts use. The caller
// numbers all phrases of a part once; the slices run parallel to the rules.
type Phrases struct {
	Words    [][]int // [rule] -> phrase numbers
	CameBack [][]int // [rule] -> treatment phrase numbers
}

// Weigh appends to out one observation for every group that says something, in
// the order of the groups.
func Weigh(out []Observation, groups []Group, phrases []Phrases, f Facts) []Observation {
	for g := range groups {
		if o, ok := speaks(&groups[g], phrases[g], &f); ok {
			o.Group = g
			out = append(out, o)
			continue
		}
		out = silences(out, g, &groups[g], &f)
	}
	return out
}

// speaks finds the first rule of the group that matches any fact, dated by
// its latest such fact.
func speaks(g *Group, p Phrases, f *Facts) (Observation, bool) {
	for i := range g.Rules {
		r := &g.Rules[i]
		o := Observation{Rule: i, Worn: r.Worn, NotWorn: r.NotWorn, SinceClear: -1, Ref: -1, Treated: -1}
		var ok bool
		switch {
		case !r.Codes.Empty():
			ok = byCode(r, p.cameBack(i), f, &o)
		case len(r.Words) > 0:
			ok = byWord(p.words(i), f, &o)
		default:
			ok = byMeasure(r, f, &o)
		}
		if ok {
			return o, true
		}
	}
	return Observation{}, false
}

func (p Phrases) words(i int) []int {
	if i < len(p.Words) {
		return p.Words[i]
	}
	return nil
}

func (p Phrases) cameBack(i int) []int {
	if i < len(p.CameBack) {
		return p.CameBack[i]
	}
	return nil
}

func byCode(r *Rule, after []int, f *Facts, o *Observation) bool {
	if f.Scan == nil || !f.Scan.matches(r.Codes) {
		return false
	}
	if len(r.CameBackAfter) > 0 {
		t := f.cameBack(after)
		if t == nil {
			return false
		}
		o.Treated = t.Ref
	}
	o.At, o.SinceClear, o.Ref = f.Scan.At, f.Scan.SinceClear, f.Scan.Ref
	return true
}

// matches tests the scan's codes. Stored codes that may date from the part
// that left do not count; pending and permanent ones do (a pending code is
// fresh, and a permanent one outlives an erase).
func (s *Scan) matches(t CodeTest) bool {
	any := len(t.Any) == 0
	for _, p := range t.Any {
		if s.has(p) {
			any = true
			break
		}
	}
	if !any {
		return false
	}
	for _, p := range t.All {
		if !s.has(p) {
			return false
		}
	}
	for _, p := range t.None {
		if s.has(p) {
			return false
		}
	}
	return true
}

func (s *Scan) has(p dtc.Pattern) bool {
	for _, c := range s.Codes {
		if s.OldPart && c.State != dtc.Pending && c.State != dtc.Permanent {
			continue
		}
		if p.Matches(c.Code) {
			return true
		}
	}
	return false
}

// Stale tells that a code of the group is stored but may date from the part
// that left: it is neither there nor absent; "erase and scan again".
func (f *Facts) Stale(g *Group) bool {
	if f.Scan == nil || !f.Scan.OldPart {
		return false
	}
	asRead := *f.Scan
	asRead.OldPart = false
	for i := range g.Rules {
		if r := &g.Rules[i]; r.isCode() && asRead.matches(r.Codes) && !f.Scan.matches(r.Codes) {
			return true
		}
	}
	return false
}

// cameBack finds the latest listed treatment that was done before the scan,
// with the kilometres since erasing unknown or at most those since it: only
// then did the code come back after the treatment.
func (f *Facts) cameBack(after []int) *Treatment {
	var latest *Treatment
	for i := range f.Treatments {
		t := &f.Treatments[i]
		if !slices.Contains(after, t.Phrase) || !t.before(f.Scan) {
			continue
		}
		if latest == nil || t.Day >= latest.Day {
			latest = t
		}
	}
	return latest
}

// before tells whether the scan saw what was there after the treatment.
func (t *Treatment) before(s *Scan) bool {
	km := s.KM - t.KM
	known := s.KM >= 0 && t.KM >= 0
	if t.Day > s.Day || (t.Day == s.Day && !(known && km > 0)) {
		return false
	}
	if s.SinceClear < 0 || !known {
		return true
	}
	slack := roundedKM
	if s.Carried || t.Carried {
		slack = math.Max(slack, carriedShare*km)
	}
	return s.SinceClear <= km+slack
}

// How far the kilometres since erasing may exceed those since the repair that
// erased: two odometers rounded to whole km, or a day carried to a distance by
// the vehicle's usage (own judgement).
const (
	roundedKM    = 2.0
	carriedShare = 0.1
)

func byWord(ids []int, f *Facts, o *Observation) bool {
	found := false
	for i := range f.Words {
		w := &f.Words[i]
		if slices.Contains(ids, w.Phrase) && (!found || w.At >= o.At) {
			found, o.At, o.Ref = true, w.At, w.Ref
		}
	}
	return found
}

func byMeasure(r *Rule, f *Facts, o *Observation) bool {
	found := false
	for i := range f.Measures {
		m := &f.Measures[i]
		if m.Name != r.Measured || (r.Over != nil && !(m.Value > *r.Over)) || (r.Under != nil && !(m.Value < *r.Under)) {
			continue
		}
		if !found || m.At >= o.At {
			found, o.At, o.Ref = true, m.At, m.Ref
		}
	}
	return found
}

// silences adds what the group's silence says: a scan without its codes, and
// a channel that counts when absent.
func silences(out []Observation, g int, group *Group, f *Facts) []Observation {
	quiet := Observation{Group: g, Rule: None, Ref: -1, Treated: -1, SinceClear: -1}
	if f.Scan != nil && group.hasCodes() && !f.Stale(group) {
		o := quiet
		o.OfScan, o.At, o.SinceClear, o.Ref = true, f.Scan.At, f.Scan.SinceClear, f.Scan.Ref
		o.Worn = group.Silence(o, func(i int) float64 { return group.Rules[i].Worn })
		o.NotWorn = group.Silence(o, func(i int) float64 { return group.Rules[i].NotWorn })
		out = append(out, o)
	}
	if group.Absent == Counts && f.TextRead && group.hasTexts() {
		o := quiet
		o.At = f.Now
		o.Worn = group.Silence(o, func(i int) float64 { return group.Rules[i].Worn })
		o.NotWorn = group.Silence(o, func(i int) float64 { return group.Rules[i].NotWorn })
		out = append(out, o)
	}
	return out
}

// Silence is the chance that no rule of the group speaks, given a rate for
// each rule: one minus the sum of the rates, for a scan's silence each times
// the chance that the code had distance enough to set.
func (g *Group) Silence(o Observation, rate func(rule int) float64) float64 {
	sum := 0.0
	for i := range g.Rules {
		if ready := g.Ready(&o, i); ready > 0 {
			sum += rate(i) * ready
		}
	}
	return math.Max(0, 1-sum)
}

// Ready is how far the silence of a rule counts in the silence o: not at all
// for a rule of another channel, else by the distance that there was.
func (g *Group) Ready(o *Observation, rule int) float64 {
	r := &g.Rules[rule]
	switch {
	case o.OfScan && r.isCode():
		return Ready(o.SinceClear, r.KMToSet)
	case !o.OfScan && r.Codes.Empty():
		return 1
	}
	return 0
}

// Ready is the chance that a code had distance enough to set: 1 − exp(−c/t)
// for c km since erasing and t its typical distance; 1 where either is not
// known (as if never erased, as if set at once).
func Ready(sinceClear, toSet float64) float64 {
	if sinceClear < 0 || toSet <= 0 {
		return 1
	}
	return -math.Expm1(-sinceClear / toSet)
}

func (g *Group) hasCodes() bool {
	for i := range g.Rules {
		if g.Rules[i].isCode() {
			return true
		}
	}
	return false
}

func (g *Group) hasTexts() bool {
	for i := range g.Rules {
		if g.Rules[i].Codes.Empty() {
			return true
		}
	}
	return false
}
