package report

import (
	"strings"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// Card is what a person in the bay needs of one vehicle, and where they write
// what they found.
type Card struct {
	Rank                int
	Unit, VIN, Plate    string
	Depot, Vehicle      string
	Distance            say.Text // "171,400 km", with engine hours where they are known
	Why                 say.Text
	Parts               []CardPart
	Hours               float64 // of the whole vehicle, as the list counts them
	FoundWorn, Injuries bool
	Slip                slip.Slip // of what is filled in once: odometer, day, initials
}

// CardPart is one part to look at.
type CardPart struct {
	Name, System string
	Chance       say.Text // "78%, likely"; "found worn" where it was seen
	Visit        string
	Hours        float64 // without set-up
	SetUp        float64
	Steps, Tools []string
	Limits       []CardLimit
	Cautions     []say.Text
	Kit          say.Text  // what to lay ready: "KD-1180-B, 1 off"
	Slip         slip.Slip // its row on the sheet of results
}

// CardLimit is a value to measure, what it means, and room to write it.
type CardLimit struct {
	ID                string // as the catalogue names the measure
	Measure           string
	SoundTo, WornFrom say.Text
}

// generalCautions stand on every card (common practice, no source). They
// bind nobody: local rules and the maker's instructions come first.
var generalCautions = []say.Text{
	say.F("Local rules and the maker's instructions come before anything written here; work only on what you are licensed for."),
	say.F("Let hot parts cool, take the pressure off fuel, oil, air and coolant before opening a line, and support a lifted vehicle on stands."),
}

// injuryCaution stands on the card of a part whose failure can hurt someone
// (common practice, no source).
var injuryCaution = say.F("A failure of this part can injure. If it is found worn or failed, the vehicle is not to be used until released.")

// cards makes one for each row above the line.
func cards(d *Document) (made []Card, leftOut int) {
	for i := range d.list.Rows {
		row := &d.list.Rows[i]
		switch {
		case !row.Above:
		case len(made) == MostCards:
			leftOut++
		default:
			made = append(made, card(d, row))
		}
	}
	return made, leftOut
}

func card(d *Document, row *plan.Row) Card {
	a, v := row.Assessment, row.Assessment.Vehicle
	c := Card{
		Rank: row.Rank, Unit: v.Unit, VIN: vinOf(v), Plate: v.Registration, Depot: v.Depot,
		Vehicle: vehicleName(v.Make, v.Model, yearOf(v)), Distance: distanceOf(a),
		Why: whyAt(d.Run.Desk, row), Hours: finite(row.Hours), FoundWorn: row.Group == plan.FoundWorn,
	}
	c.Slip = slipOf(d, a, row.Rank)
	c.Slip.Fills = slip.Visit
	for _, f := range leadFirst(row) {
		p := cardPart(f)
		p.Slip = d.slips[f]
		c.Parts = append(c.Parts, p)
		c.Injuries = c.Injuries || canInjure(f)
	}
	return c
}

// leadFirst lists the findings that a row speaks of, the lead part before the
// others.
func leadFirst(row *plan.Row) []*score.Finding {
	var out []*score.Finding
	if row.Lead.Finding != nil {
		out = append(out, row.Lead.Finding)
	}
	for i := range row.Parts {
		if f := row.Parts[i].Finding; f != nil && !(len(out) > 0 && f.PartIndex == out[0].PartIndex) {
			out = append(out, f)
		}
	}
	return out
}

func distanceOf(a *score.Assessment) say.Text {
	var km, hours say.Text
	if a.Odometer.Known {
		km = say.Of(say.KM(a.Odometer.KM))
	}
	if engine := a.Hours(); engine.Known {
		hours = say.Of(amount(engine.KM, score.ByHours))
	}
	return say.Join(", ", km, hours)
}

func cardPart(f *score.Finding) CardPart {
	p := f.Part
	c := CardPart{
		Name: p.Name, System: p.System, Visit: p.Inspection.Visit,
		Hours: p.Inspection.Hours, SetUp: p.Inspection.SetUpHours,
		Steps: p.Inspection.Steps, Tools: p.Inspection.Tools,
		Chance: ChanceWords(f),
	}
	c.Limits = cardLimits(p)
	c.Cautions = append(c.Cautions, plain(p.Inspection.Cautions)...)
	if canInjure(f) {
		c.Cautions = append(c.Cautions, injuryCaution)
	}
	c.Cautions = append(c.Cautions, generalCautions...)
	if p.Kit.PartNo != "" {
		c.Kit = say.Join(", ", say.Plain(p.Kit.PartNo), say.Count(max(1, p.Kit.Quantity), "piece", "pieces"))
	}
	return c
}

func cardLimits(p *score.WeakPart) (out []CardLimit) {
	for _, l := range p.Inspection.Limits {
		out = append(out, CardLimit{l.Measure, strings.ReplaceAll(l.Measure, "_", " "), say.Of(say.Figure(l.SoundTo)), say.Of(say.Figure(l.WornFrom))})
	}
	return out
}

// ChanceWords is the chance of being worn with its words: "78%, likely".
func ChanceWords(f *score.Finding) say.Text {
	switch f.Standing {
	case score.WornFound:
		return say.F("found worn")
	case score.Scored:
		return say.Join(", ", say.Of(say.Percent(f.State.Worn)), Odds(f.State.Worn))
	}
	return StandingWords(f.Standing)
}
