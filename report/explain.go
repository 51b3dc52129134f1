package report

import (
	"strings"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// Story is all that is known of one vehicle, for `explain` and its --json, its
// sentences in the run's language. Probabilities lie in [0, 1] and money is in
// Currency; nothing is rounded.
type Story struct {
	Job      string   `json:"job"`
	Day      string   `json:"day"`
	Unit     string   `json:"unit"`
	VIN      string   `json:"vin"`
	Plate    string   `json:"registration"`
	Depot    string   `json:"depot"`
	Vehicle  string   `json:"vehicle"`
	Odometer Distance `json:"odometer"`
	Hours    Distance `json:"engine_hours"`
	Ahead    string   `json:"holding_reason"`
	SetAside string   `json:"set_aside,omitempty"`
	Notes    []string `json:"notes"`
	Currency string   `json:"currency"`
	Decision Decision `json:"decision"`
	Offer    *Offered `json:"offer,omitempty"` // at a buying desk
	Parts    []Told   `json:"parts"`
	Codes    []string `json:"codes_over_time"` // where several scans are known
	Checks   []string `json:"other_checks"`

	speaks *say.Language
}

// Distance is a distance today with what it rests on.
type Distance struct {
	Known   bool    `json:"known"`
	Value   float64 `json:"value"` // km, or hours
	Basis   string  `json:"basis"`
	Finding string  `json:"finding"`
	Detail  string  `json:"detail,omitempty"`
}

// Decision is what the plan made of the vehicle.
type Decision struct {
	OnList     bool    `json:"on_list"`
	Rank       int     `json:"rank"`
	Of         int     `json:"of"`
	Group      string  `json:"group"`
	Above      bool    `json:"above_line"`
	Why        string  `json:"why"`
	Worth      float64 `json:"worth"`
	Waiting    float64 `json:"cost_of_waiting"`
	Hours      float64 `json:"hours"`
	Cumulative float64 `json:"cumulative_hours"`
	Stays      float64 `json:"stays_above"` // negative: not reckoned
	BeforeKM   float64 `json:"inspect_before_km,omitempty"`
	BeforeDate string  `json:"inspect_before_date,omitempty"`
}

// Told is one part of the vehicle with everything that was weighed.
type Told struct {
	Part       string  `json:"part"`
	Name       string  `json:"name"`
	Standing   string  `json:"standing"`
	Membership string  `json:"membership"`
	Reason     string  `json:"membership_reason"`
	Share      float64 `json:"share"`
	Axis       string  `json:"axis"`
	Distance   float64 `json:"distance"`
	Renewed    float64 `json:"renewed_at"`
	History    float64 `json:"history_from"`
	Curve      string  `json:"curve"`
	Source     string  `json:"source"`

	Immune      float64 `json:"p_immune"`
	Sound       float64 `json:"p_sound"`
	Worn        float64 `json:"p_worn"`
	Rectified   float64 `json:"p_rectified"`
	HasInterval bool    `json:"has_interval"`
	Low         float64 `json:"p_worn_low"`
	High        float64 `json:"p_worn_high"`
	Next        float64 `json:"next_run_distance"`
	Hold        float64 `json:"holding_distance"`
	FailNext    float64 `json:"fail_next_run"`
	FailHold    float64 `json:"fail_holding"`

	Facts     []Seen   `json:"facts"`
	Uncertain []string `json:"uncertain"`
	Money     *Priced  `json:"money,omitempty"`
	Why       string   `json:"why"`
}

// Seen is one fact with its weight and its row.
type Seen struct {
	Day    string  `json:"day"`
	What   string  `json:"what"`
	Kind   string  `json:"kind"`
	Group  string  `json:"group,omitempty"`
	Weight float64 `json:"weight"` // P(seen | worn) / P(seen | not worn); 1 tells nothing
	Where  string  `json:"where"`
	Old    bool    `json:"of_the_part_before"` // seen before the part was last renewed
}

// Priced is what looking, waiting and failing cost.
type Priced struct {
	Inspection float64 `json:"inspection"`
	Repair     float64 `json:"planned_repair"`
	Failure    float64 `json:"failure"`
	Without    float64 `json:"without_inspection"`
	With       float64 `json:"with_inspection"`
	Worth      float64 `json:"worth"`
	Waiting    float64 `json:"cost_of_waiting"`
	Forced     bool    `json:"forced"`
	Chosen     bool    `json:"in_the_row"`
}

// Explain tells one vehicle's whole story. The row is the vehicle's on the
// list of length listed; nil where it is on none.
func Explain(run Run, fleet *score.Fleet, a *score.Assessment, row *plan.Row, listed int) Story {
	v, l := a.Vehicle, run.Speaks()
	hours := a.Hours()
	odd, oddHours := a.Details()
	s := Story{
		speaks: l,
		Job:    run.Job, Day: isoDate(run.Day), Currency: run.Currency,
		Unit: v.Unit, VIN: vinOf(v), Plate: v.Registration, Depot: v.Depot,
		Vehicle: vehicleName(v.Make, v.Model, yearOf(v)), SetAside: l.Say(setAsideWords(a.SetAside)), Ahead: l.Say(a.Ahead.HoldReason.Say()),
		Odometer: Distance{a.Odometer.Known, finite(a.Odometer.KM), l.Say(a.Odometer.Basis()), string(a.Odometer.Finding), l.Say(odd)},
		Hours:    Distance{hours.Known, finite(hours.KM), l.Say(hours.Basis()), string(hours.Finding), l.Say(oddHours)},
		Notes:    []string{}, Checks: []string{}, Parts: []Told{}, Codes: []string{},
	}
	if spells := CodeSpells(a); len(v.Scans) > 1 {
		for i := range spells {
			s.Codes = append(s.Codes, l.Say(spells[i].Text()))
		}
	}
	for i := range a.Findings {
		s.Parts = append(s.Parts, told(fleet, row, &a.Findings[i], l))
	}
	for i := range a.Checks {
		c := &a.Checks[i]
		words := say.Join(": ", c.Reason, c.Check)
		if c.Today {
			words = say.F("today: %s", words)
		}
		s.Checks = append(s.Checks, l.Say(words))
	}
	s.Decision = decided(run.Desk, a, row, listed, l)
	return s
}

func decided(desk string, a *score.Assessment, row *plan.Row, listed int, l *say.Language) Decision {
	if row == nil {
		return Decision{Of: listed, Why: l.Say(Why(&plan.Row{Assessment: a})), Stays: -1}
	}
	d := Decision{OnList: true, Rank: row.Rank, Of: listed, Group: string(row.Group), Above: row.Above, Why: l.Say(whyAt(desk, row)),
		Worth: finite(row.Worth), Waiting: finite(row.Waiting), Hours: finite(row.Hours),
		Cumulative: finite(row.Cumulative), Stays: finite(row.Stays)}
	if row.Before.Known {
		d.BeforeKM, d.BeforeDate = finite(row.Before.KM), isoDate(row.Before.Day)
	}
	return d
}

func told(fleet *score.Fleet, row *plan.Row, f *score.Finding, l *say.Language) Told {
	st := f.State
	t := Told{
		Part: f.Part.ID, Name: f.Part.Name, Standing: string(f.Standing), Membership: string(f.Belonging.Membership),
		Reason: l.Say(f.Belonging.Reason()), Share: finite(f.Belonging.Share), Axis: string(f.Part.Axis),
		Distance: finite(f.Distance), Renewed: finite(f.Renewed), History: finite(f.HistoryFrom),
		Curve: l.Say(CurveWords(f.Part)), Source: f.Part.Source,
		Immune: finite(st.Immune), Sound: finite(st.Sound), Worn: finite(st.Worn), Rectified: finite(st.Rectified),
		HasInterval: f.HasInterval, Low: finite(f.PLow), High: finite(f.PHigh),
		Next: finite(f.Next), Hold: finite(f.Hold), FailNext: finite(f.NextFail.All), FailHold: finite(f.HoldFail.All),
		Uncertain: spoken(f.Uncertain, l), Facts: []Seen{}, Why: l.Say(WhyFinding(f)),
	}
	last := lastRenewal(f.Facts)
	for i := range f.Facts {
		fact := &f.Facts[i]
		t.Facts = append(t.Facts, Seen{isoDate(fact.Day), l.Say(sayFact(fact, f.Part)), string(fact.Kind), fact.Group,
			bounded(fact.Weight), l.Say(fleet.Where(fact.Ref)), isOld(f.Facts, i, last)})
	}
	t.Money = priced(row, f)
	return t
}

// spoken are texts in a language.
func spoken(texts []say.Text, l *say.Language) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = l.Say(t)
	}
	return out
}

func priced(row *plan.Row, f *score.Finding) *Priced {
	c := choiceOf(row, f)
	if c == nil {
		return nil
	}
	p := &Priced{finite(c.Inspection), finite(c.Repair), finite(c.Failure), finite(c.Without), finite(c.With),
		finite(c.Worth), finite(c.Waiting), c.Forced, false}
	for i := range row.Parts {
		if got := row.Parts[i].Finding; got != nil && got.PartIndex == f.PartIndex {
			p.Chosen = true
		}
	}
	return p
}

// teller writes lines in a language.
type teller struct {
	strings.Builder
	speaks *say.Language
}

// line writes a text after an indent.
func (w *teller) line(t say.Text, indent ...string) {
	w.WriteString(strings.Join(indent, "") + w.speaks.Say(t) + "\n")
}

// in writes an indented line.
func (w *teller) in(t say.Text) { w.line(t, "  ") }

// Text writes the story for a person at a terminal, in lines of their own.
func (s Story) Text() string {
	w := &teller{speaks: s.speaks}
	if w.speaks == nil {
		w.speaks = say.English
	}
	title := plain([]string{s.Unit, s.Vehicle, s.VIN, s.Plate, s.Depot})
	if s.Offer != nil && s.Offer.Lot != "" {
		title = append([]say.Text{say.F("lot %s", s.Offer.Lot)}, title...)
	}
	w.line(say.Join(" · ", title...))
	w.line(say.F("job %s, day %s", s.Job, s.Day))
	s.Odometer.tell(w, say.F("Odometer"), score.ByKM)
	if s.Hours.Known {
		s.Hours.tell(w, say.F("Engine hours"), score.ByHours)
	}
	if s.Ahead != "" {
		w.line(say.F("Held for: %s", s.Ahead))
	}
	for _, n := range s.Notes {
		w.line(say.F("Note: %s", n))
	}
	s.tellDecision(w)
	for i := range s.Parts {
		s.Parts[i].tell(w, s.Currency)
	}
	w.list(say.F("Codes over time"), s.Codes)
	w.list(say.F("Other checks"), s.Checks)
	w.WriteByte('\n')
	w.line(say.F("A list is a reason to look, not a diagnosis."))
	return w.String()
}

// list writes sentences under a heading, nothing where there are none.
func (w *teller) list(head say.Text, sentences []string) {
	if len(sentences) == 0 {
		return
	}
	w.line(head, "\n")
	for _, s := range sentences {
		w.in(say.Plain(s))
	}
}

func (d Distance) tell(w *teller, name say.Text, axis score.Axis) {
	if !d.Known {
		w.line(say.F("%s: not known", name))
		return
	}
	w.line(say.F("%s: %s (%s)", name, amount(d.Value, axis), d.Basis))
	if d.Detail != "" {
		w.in(say.F("%s: %s", d.Finding, d.Detail))
	}
}

func (s Story) tellDecision(w *teller) {
	d := &s.Decision
	w.WriteByte('\n')
	switch {
	case s.SetAside != "":
		w.line(say.F("Not judged: %s", s.SetAside))
		return
	case !d.OnList:
		w.line(say.F("Not on the list. %s", d.Why))
		return
	case s.Offer != nil:
		s.Offer.tell(w, d)
		return
	}
	where := say.F("below the line: wait")
	if d.Above {
		where = say.F("above the line: take in")
	}
	w.line(say.F("No. %d of %d, %s (%s)", d.Rank, d.Of, where, GroupWords(plan.Group(d.Group))))
	w.in(say.Plain(d.Why))
	w.in(say.F("worth of a look %s, waiting costs %s, %s in the bay, %s so far in its depot",
		money(d.Worth, s.Currency), money(d.Waiting, s.Currency), say.Hours(d.Hours), say.Hours(d.Cumulative)))
	if d.Stays >= 0 {
		w.in(say.F("stays above the line in %s of the draws", say.Percent(d.Stays)))
	}
	switch {
	case d.BeforeDate != "" && d.BeforeKM > 0:
		w.in(say.F("look before %s or %s", d.BeforeDate, say.KM(d.BeforeKM)))
	case d.BeforeDate != "":
		w.in(say.F("look before %s", d.BeforeDate))
	}
}

func (t *Told) tell(w *teller, currency string) {
	axis := score.Axis(t.Axis)
	w.WriteByte('\n')
	w.line(say.F("%s (%s): %s", t.Name, t.Part, StandingWords(score.Standing(t.Standing))))
	w.in(say.F("%s: %s, share %s", MembershipWords(score.Membership(t.Membership)), t.Reason, say.Percent(t.Share)))
	at := say.Of(amount(t.Distance, axis))
	if t.Renewed > 0 {
		at = say.F("%s since it was renewed at %s", at, amount(t.Renewed, axis))
	}
	if t.History > 0 {
		at = say.F("%s; records complete from %s of these", at, amount(t.History, axis))
	}
	w.in(say.F("has run %s", at))
	if t.Curve != "" {
		w.in(say.F("curve: %s (%s)", t.Curve, t.Source))
	}
	t.tellChances(w, axis)
	for i := range t.Facts {
		t.Facts[i].tell(w)
	}
	for _, u := range t.Uncertain {
		w.in(say.F("not sure: %s", u))
	}
	if m := t.Money; m != nil {
		w.in(say.F("a look costs %s, a planned repair %s, a failure %s", money(m.Inspection, currency), money(m.Repair, currency), money(m.Failure, currency)))
		w.in(say.F("expected over the holding distance: %s without a look, %s with one; worth %s, waiting costs %s",
			money(m.Without, currency), money(m.With, currency), money(m.Worth, currency), money(m.Waiting, currency)))
	}
}

func (t *Told) tellChances(w *teller, axis score.Axis) {
	if t.Immune+t.Sound+t.Worn+t.Rectified == 0 || t.Standing == string(score.WornFound) {
		return
	}
	worn := say.Join(", ", say.Of(say.Percent(t.Worn)), Odds(t.Worn))
	if t.HasInterval {
		worn = say.F("%s (%s to %s in 8 of 10 cases)", worn, say.Percent(t.Low), say.Percent(t.High))
	}
	w.in(say.F("worn %s; sound %s, not affected %s, put right already %s", worn, say.Percent(t.Sound), say.Percent(t.Immune), say.Percent(t.Rectified)))
	w.in(say.F("fails within %s (to the next run): %s; within %s (held): %s",
		amount(t.Next, axis), say.Percent(t.FailNext), amount(t.Hold, axis), say.Percent(t.FailHold)))
}

func (f *Seen) tell(w *teller) {
	words := say.Plain(f.What)
	switch {
	case f.Old:
		words = say.F("%s (of the part before: not counted)", words)
	case f.Group != "" || f.Weight != 1:
		words = say.F("%s [%s]", words, SayWeight(f.Weight))
	}
	w.in(say.Join(" — ", say.Join(" ", say.Plain("-"), words), say.Plain(f.Where)))
}
