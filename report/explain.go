package report

import (
	"fmt"
	"strings"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// Story is all that is known of one vehicle, for `explain` and its --json.
// Probabilities lie in [0, 1] and money is in Currency; nothing is rounded.
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
	Parts    []Told   `json:"parts"`
	Codes    []string `json:"codes_over_time"` // where several scans are known
	Checks   []string `json:"other_checks"`
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
	v := a.Vehicle
	s := Story{
		Job: run.Job, Day: isoDate(run.Day), Currency: run.Currency,
		Unit: v.Unit, VIN: vinOf(v), Plate: v.Registration, Depot: v.Depot,
		Vehicle: vehicleName(v.Make, v.Model, yearOf(v)), SetAside: string(a.SetAside), Ahead: string(a.Ahead.HoldReason),
		Odometer: Distance{a.Odometer.Known, finite(a.Odometer.KM), a.Odometer.Basis().String(), string(a.Odometer.Finding), a.Odometer.Detail.String()},
		Hours:    Distance{a.Hours.Known, finite(a.Hours.KM), a.Hours.Basis().String(), string(a.Hours.Finding), a.Hours.Detail.String()},
		Notes:    []string{}, Checks: []string{}, Parts: []Told{}, Codes: []string{},
	}
	if spells := CodeSpells(a); len(v.Scans) > 1 {
		for i := range spells {
			s.Codes = append(s.Codes, spells[i].Text())
		}
	}
	for i := range a.Findings {
		s.Parts = append(s.Parts, told(fleet, row, &a.Findings[i]))
	}
	for i := range a.Checks {
		c := &a.Checks[i]
		words := say.Join(": ", c.Reason, c.Check).String()
		if c.Today {
			words = "today: " + words
		}
		s.Checks = append(s.Checks, words)
	}
	s.Decision = decided(row, listed)
	return s
}

func decided(row *plan.Row, listed int) Decision {
	if row == nil {
		return Decision{Of: listed, Why: Why(nil), Stays: -1}
	}
	d := Decision{OnList: true, Rank: row.Rank, Of: listed, Group: string(row.Group), Above: row.Above, Why: Why(row),
		Worth: finite(row.Worth), Waiting: finite(row.Waiting), Hours: finite(row.Hours),
		Cumulative: finite(row.Cumulative), Stays: finite(row.Stays)}
	if row.Before.Known {
		d.BeforeKM, d.BeforeDate = finite(row.Before.KM), isoDate(row.Before.Day)
	}
	return d
}

func told(fleet *score.Fleet, row *plan.Row, f *score.Finding) Told {
	st := f.State
	t := Told{
		Part: f.Part.ID, Name: f.Part.Name, Standing: string(f.Standing), Membership: string(f.Belonging.Membership),
		Reason: f.Belonging.Reason.String(), Share: finite(f.Belonging.Share), Axis: string(f.Part.Axis),
		Distance: finite(f.Distance), Renewed: finite(f.Renewed), History: finite(f.HistoryFrom),
		Curve: CurveWords(f.Part), Source: f.Part.Source,
		Immune: finite(st.Immune), Sound: finite(st.Sound), Worn: finite(st.Worn), Rectified: finite(st.Rectified),
		HasInterval: f.HasInterval, Low: finite(f.PLow), High: finite(f.PHigh),
		Next: finite(f.Next), Hold: finite(f.Hold), FailNext: finite(f.NextFail.All), FailHold: finite(f.HoldFail.All),
		Uncertain: spoken(f.Uncertain), Facts: []Seen{}, Why: WhyFinding(f),
	}
	last := lastRenewal(f.Facts)
	for i := range f.Facts {
		fact := &f.Facts[i]
		t.Facts = append(t.Facts, Seen{isoDate(fact.Day), sayFact(fact, f.Part), string(fact.Kind), fact.Group,
			bounded(fact.Weight), fleet.Where(fact.Ref).String(), isOld(f.Facts, i, last)})
	}
	t.Money = priced(row, f)
	return t
}

// spoken are texts in English, as the terminal has them.
func spoken(texts []say.Text) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = t.String()
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

// Text writes the story for a person at a terminal, in lines of their own.
func (s Story) Text() string {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	name := s.Unit
	if name == "" {
		name = s.VIN
	}
	say("%s", strings.Join(nonEmpty(name, s.Vehicle, s.VIN, s.Plate, s.Depot), " · "))
	say("job %s, day %s", s.Job, s.Day)
	s.Odometer.say(say, "Odometer", score.ByKM)
	if s.Hours.Known {
		s.Hours.say(say, "Engine hours", score.ByHours)
	}
	if s.Ahead != "" {
		say("Held for: %s", s.Ahead)
	}
	for _, n := range s.Notes {
		say("Note: %s", n)
	}
	s.sayDecision(say)
	for i := range s.Parts {
		s.Parts[i].say(say, s.Currency)
	}
	if len(s.Codes) > 0 {
		say("\nCodes over time")
		for _, c := range s.Codes {
			say("  %s", c)
		}
	}
	if len(s.Checks) > 0 {
		say("\nOther checks")
		for _, c := range s.Checks {
			say("  %s", c)
		}
	}
	say("\nA list is a reason to look, not a diagnosis.")
	return b.String()
}

func nonEmpty(words ...string) []string {
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return out
}

type sayer func(format string, args ...any)

func (d Distance) say(say sayer, name string, axis score.Axis) {
	if !d.Known {
		say("%s: not known", name)
		return
	}
	say("%s: %s (%s)", name, Amount(d.Value, axis), d.Basis)
	if d.Detail != "" {
		say("  %s: %s", d.Finding, d.Detail)
	}
}

func (s Story) sayDecision(say sayer) {
	d := &s.Decision
	switch {
	case s.SetAside != "":
		say("\nNot judged: %s", s.SetAside)
	case !d.OnList:
		say("\nNot on the list. %s", d.Why)
	default:
		where := "below the line: wait"
		if d.Above {
			where = "above the line: take in"
		}
		say("\nNo. %d of %d, %s (%s)", d.Rank, d.Of, where, d.Group)
		say("  %s", d.Why)
		say("  worth of a look %s, waiting costs %s, %s in the bay, %s so far in its depot",
			Money(d.Worth, s.Currency), Money(d.Waiting, s.Currency), hours(d.Hours), hours(d.Cumulative))
		if d.Stays >= 0 {
			say("  stays above the line in %s of the draws", Percent(d.Stays))
		}
		if d.BeforeDate != "" {
			say("  look before %s%s", d.BeforeDate, beforeKM(d.BeforeKM))
		}
	}
}

func beforeKM(km float64) string {
	if km > 0 {
		return " or " + KM(km)
	}
	return ""
}

func (t *Told) say(say sayer, currency string) {
	axis := score.Axis(t.Axis)
	say("\n%s (%s): %s", t.Name, t.Part, t.Standing)
	say("  %s: %s, share %s", t.Membership, t.Reason, Percent(t.Share))
	at := Amount(t.Distance, axis)
	if t.Renewed > 0 {
		at += " since it was renewed at " + Amount(t.Renewed, axis)
	}
	if t.History > 0 {
		at += "; records complete from " + Amount(t.History, axis) + " of these"
	}
	say("  has run %s", at)
	if t.Curve != "" {
		say("  curve: %s (%s)", t.Curve, t.Source)
	}
	t.sayChances(say, axis)
	for i := range t.Facts {
		t.Facts[i].say(say)
	}
	for _, u := range t.Uncertain {
		say("  not sure: %s", u)
	}
	if m := t.Money; m != nil {
		say("  a look costs %s, a planned repair %s, a failure %s", Money(m.Inspection, currency), Money(m.Repair, currency), Money(m.Failure, currency))
		say("  expected over the holding distance: %s without a look, %s with one; worth %s, waiting costs %s",
			Money(m.Without, currency), Money(m.With, currency), Money(m.Worth, currency), Money(m.Waiting, currency))
	}
}

func (t *Told) sayChances(say sayer, axis score.Axis) {
	if t.Immune+t.Sound+t.Worn+t.Rectified == 0 || t.Standing == string(score.WornFound) {
		return
	}
	between := ""
	if t.HasInterval {
		between = " (" + Percent(t.Low) + " to " + Percent(t.High) + " in 8 of 10 cases)"
	}
	say("  worn %s, %s%s; sound %s, not affected %s, put right already %s", Percent(t.Worn), Odds(t.Worn), between,
		Percent(t.Sound), Percent(t.Immune), Percent(t.Rectified))
	say("  fails within %s (to the next run): %s; within %s (held): %s",
		Amount(t.Next, axis), Percent(t.FailNext), Amount(t.Hold, axis), Percent(t.FailHold))
}

func (f *Seen) say(say sayer) {
	words := f.What
	switch {
	case f.Old:
		words += " (of the part before: not counted)"
	case f.Group != "" || f.Weight != 1:
		words += " [" + SayWeight(f.Weight) + "]"
	}
	if f.Where != "" {
		words += " — " + f.Where
	}
	say("  - %s", words)
}
