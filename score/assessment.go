package score

import (
	"slices"

	"pitlist/score/dtc"
	"pitlist/score/odometer"
	"pitlist/score/say"
	"pitlist/score/wear"
)

// Standing says how a part of a vehicle stands before any plan is made.
type Standing string

// The standings. Only Scored findings carry probabilities that compete for
// bay-hours.
const (
	Scored         Standing = "scored"
	WornFound      Standing = "found worn"      // by an inspection, and not renewed since
	AwaitingRepair Standing = "awaiting repair" // found failed, and not renewed since
	Improved       Standing = "improved part"   // renewed with the improved design: its story has ended
	NotOfRange     Standing = "outside"         // not of the weak population
	NoDistance     Standing = "no distance"     // nothing tells how far the part has run
)

// Assessment is all that is judged of one vehicle before planning.
type Assessment struct {
	Vehicle  *Vehicle
	Odometer odometer.Brief
	hours    *odometer.Brief // of the engine; nil where the vehicle has none
	Ahead    Ahead
	Findings []Finding    // in the catalogue's order; parts that do not concern the vehicle left out
	Checks   []OtherCheck // what is worth a look outside the wear model
	SetAside Status       // why the vehicle is not judged: it is sold; "" where it is judged
	judge    *Scorer      // that judged it
}

// Details are the readings that show what is odd of the odometer and of the
// engine hours, in words. They are worked out anew from the vehicle: a large
// fleet's would be most of what is kept of it, and they are written once.
func (a *Assessment) Details() (odometer, hours say.Text) {
	have := a.Hours()
	if a.judge == nil || !odd(&a.Odometer) && !odd(&have) {
		return a.Odometer.Detail, have.Detail
	}
	w := worker{Scorer: a.judge}
	t := w.track(a.Vehicle)
	return t.odometer.Detail, t.hours.Detail
}

// Close lets go of the facts that only judging asks for: scans, repairs,
// inspections and remarks. They are most of a large fleet, and what is written
// of the vehicle stands in its findings. Details and the readings stay; it
// cannot be judged again.
func (a *Assessment) Close() {
	hours := a.Hours()
	if odd(&a.Odometer) || odd(&hours) { // Details asks for what they say of the distance
		a.Vehicle.ownFacts()
	} else {
		a.Vehicle.Scans, a.Vehicle.Repairs, a.Vehicle.Inspections = nil, nil, nil
	}
	a.Vehicle.Remarks = nil
}

// CloseUnlessRedrawn is Close before a plan is made: what Redraw may judge again
// keeps its facts, in copies of its own, since those of a fleet lie together.
func (a *Assessment) CloseUnlessRedrawn() {
	if slices.ContainsFunc(a.Findings, func(f Finding) bool { return f.LetGo > 0 }) {
		a.Vehicle.ownFacts()
		return
	}
	a.Close()
}

// ownFacts makes copies of the facts that Close lets go.
func (v *Vehicle) ownFacts() {
	v.Scans, v.Repairs = slices.Clone(v.Scans), slices.Clone(v.Repairs)
	v.Inspections, v.Remarks = slices.Clone(v.Inspections), slices.Clone(v.Remarks)
}

// Hours are the engine hours today; Known is false where the vehicle states none.
func (a *Assessment) Hours() odometer.Brief {
	if a.hours == nil {
		return odometer.Brief{}
	}
	return *a.hours
}

// SetHours gives an assessment its engine hours.
func (a *Assessment) SetHours(b odometer.Brief) { a.hours = &b }

// odd tells that something was found of the readings.
func odd(b *odometer.Brief) bool { return b.Finding != "" && b.Finding != odometer.None }

// Ahead holds the distances that the vehicle will cover, by axis.
type Ahead struct {
	NextKM, HoldKM         float64 // km until the next run, and over the holding distance
	NextHours, HoldHours   float64
	NextMonths, HoldMonths float64
	HoldReason             HoldReason // which limit decided the holding distance
}

// On returns next-run and holding distance on an axis.
func (a Ahead) On(axis Axis) (next, hold float64) {
	switch axis {
	case ByHours:
		return a.NextHours, a.HoldHours
	case ByMonths:
		return a.NextMonths, a.HoldMonths
	}
	return a.NextKM, a.HoldKM
}

// Finding is what is known of one part of one vehicle.
type Finding struct {
	Part      *WeakPart
	PartIndex int // in the catalogue
	Belonging Belonging
	Standing  Standing

	Distance    float64 // own distance on the part's axis, since new or since renewed
	Renewed     float64 // axis distance z of the last renewal; 0: none on record
	HistoryFrom float64 // own distance from which the records are complete (E)
	State       wear.State
	PLow, PHigh float64 // 80 % interval of p_worn; both 0 where HasInterval is false
	HasInterval bool

	Next, Hold  float64 // distances ahead on the part's axis
	NextFail    Fails
	HoldFail    Fails
	RiskFail    float64     // chance of failure over the part's RiskKM; injury parts
	SaleOdds    float64     // the prior odds of worn were multiplied by it, on a buying desk; 0: they were not
	Facts       []Fact      // the story in the order of time, for the reason and the card
	Draws       *Draws      // what each parameter draw makes of it; nil where not needed
	LetGo       int         // parameter draws that Settings.Sift made do without; Scorer.Redraw brings them back
	FailsNext   DrawChances // of draws that were let go: worn, found and failing before the next run (Settings.Sift)
	Over        DrawSet     // of draws that were let go: those in which an injury part is over a limit
	NoticeWorn  bool        // injury: p_worn over WornLimit
	NoticeFail  bool        // injury: RiskFail over RiskLimit
	Uncertain   []say.Text
	model       *wear.Model
	rateOfUse   float64 // axis distance a day
	odometerNow float64
}

// Fails are chances of failure over one distance ahead.
type Fails struct {
	IfWorn, IfSound float64
	All             float64 // weighted with the posterior
}

// Draws holds for every parameter draw what the plan needs of a finding.
type Draws struct {
	Worn, Sound []float32 // posterior
	WornNext    []float32 // failure before the next run, if worn
	WornHold    []float32 // failure over the holding distance, if worn
	SoundHold   []float32 // the same, if sound
	Risk        []float32 // failure over the part's RiskKM; injury parts only
}

// FactKind names what a Fact is.
type FactKind string

// The kinds of facts.
const (
	FactCode        FactKind = "code"           // codes of the latest scan that a rule speaks of
	FactCameBack    FactKind = "code came back" // the same after a treatment was done
	FactCleanScan   FactKind = "clean scan"     // scanned, and none of the group's codes there
	FactStale       FactKind = "old code"       // stored, but may date from the part that left
	FactWords       FactKind = "words"          // symptom in a text
	FactNoWords     FactKind = "no words"       // a channel that counts was silent
	FactMeasure     FactKind = "measured"
	FactClean       FactKind = "inspected, sound"
	FactFoundWorn   FactKind = "found worn"
	FactFailed      FactKind = "failed"
	FactRenewed     FactKind = "renewed"
	FactTreated     FactKind = "treated"     // a symptom was treated, the part was not
	FactDeclined    FactKind = "declined"    // a renewal that the owner declined
	FactRecommended FactKind = "recommended" // a renewal that was advised, not done
)

// Fact is one dated thing of a part's story.
type Fact struct {
	Kind    FactKind
	Day     Day
	At      float64 // axis distance (odometer km, hours, months) when seen
	Text    string  // the row's words, or the phrase that matched
	Phrase  string  // the catalogue phrase or measure that matched
	Codes   []dtc.Code
	State   dtc.State // of Codes, where the scan states one for all of them
	Value   float64   // of a measure
	Since   float64   // km since codes were erased; negative: not known
	After   *Fact     // the treatment after which a code came back
	Group   string    // of the evidence; "" for what is no evidence
	Outside string    // what the rule says of a vehicle outside the ranges
	// Weight is P(seen | worn) / P(seen | not worn); 1 where it tells nothing.
	Weight float64
	Ref    Ref
}

// OtherCheck is a reason to look that carries no probability.
type OtherCheck struct {
	Part   *WeakPart // nil where no entry of the catalogue speaks of it
	Reason say.Text
	Check  say.Text
	Today  bool // stands at the head of the first sheet
	Code   dtc.Code
	Day    Day
	Ref    Ref
}

// OdometerNow is the vehicle's distance today, km.
func (f *Finding) OdometerNow() float64 { return f.odometerNow }

// UseADay is the use a day on the part's axis; 0 where it is not known, and
// while a vehicle stands off the road.
func (f *Finding) UseADay() float64 { return f.rateOfUse }
