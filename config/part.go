package config

import (
	"pitlist/score"
	"pitlist/score/wear"
)

// entry is one part of a catalogue with the places that later checks need.
type entry struct {
	part  score.WeakPart
	name  field
	rules []field // evidence, one a group
	looks []group // checks, one a check
}

var partKeys = []string{"id", "name", "system", "source", "reviewed", "known_since", "fits", "share_if_unknown", "axis",
	"onset", "delay", "weight", "replacement", "evidence", "called", "repairs", "inspection", "checks", "costs",
	"consequence", "risk_km", "risk_limit", "worn_limit", "kit"}

// required are the keys without which an entry cannot be judged.
var required = []string{"id", "name", "source", "known_since", "fits", "share_if_unknown", "axis", "onset", "delay",
	"weight", "replacement", "inspection", "costs", "consequence"}

// readEntry reads a full entry.
func readEntry(id string, g group) *entry {
	e := &entry{name: g.need("name", "say what the workshop calls the part")}
	p := &e.part
	p.ID, p.Name, p.File, p.Line = id, e.name.text(), g.s.file, g.at.Line
	p.System = g.get("system").text()
	p.Source = g.need("source", `name the bulletin, recall or study, or write "own judgement"`).text()
	p.Reviewed = day(g.get("reviewed"))
	p.KnownSince = day(g.need("known_since", "the day since which the weakness was known: known_since: 2019-05-01"))
	p.Fits = fits(g.need("fits", "which vehicles? fits: [ { model: [Kestrel], model_year: 2015-2017 } ]"))
	p.ShareIfUnknown, _ = g.need("share_if_unknown", "the chance of being affected when what decides is missing, from 0 to 1").number(0, share)
	p.Axis = score.Axis(g.need("axis", "what the part wears by: km, hours or months").oneOf("", string(score.ByKM), string(score.ByHours), string(score.ByMonths)))
	p.Onset = curve(g.need("onset", "distance until worn: onset: { weibull: { shape: 3.2, scale: 215000 } }"), p.Axis)
	p.Delay = curve(g.need("delay", "distance from worn to failed: delay: { weibull: { shape: 1.8, scale: 42000 } }"), p.Axis)
	p.Weight, _ = g.need("weight", "the number of failures that the curves rest on, or are worth").number(0, above0)
	p.Replacement = wear.Replacement(g.need("replacement", "improved or same: what a failed part is replaced with").oneOf("", string(wear.Improved), string(wear.Same)))
	p.Called = g.get("called").phrases()
	p.Repairs = repairWords(g.get("repairs"))
	p.Inspection = inspection(g.need("inspection", "what a look takes: inspection: { visit: engine top, hours: 0.75, detects: 0.9, false_alarm: 0.01 }"))
	p.Checks, e.looks = checks(g.get("checks"))
	p.Costs = costs(g.need("costs", "costs: { planned_repair: 3600, failure: 11800 }"))
	p.Kit = kit(g.get("kit"))
	readConsequence(p, g)
	e.readEvidence(g.get("evidence"))
	return e
}

// readConsequence reads what a failure puts at stake; the limits are needed
// where it can injure and may stand, unused, where it costs money.
func readConsequence(p *score.WeakPart, g group) {
	money, injury := string(score.CostsMoney), string(score.CanInjure)
	p.Consequence = score.Consequence(g.need("consequence", "money, or injury where a failure can hurt someone").oneOf("", money, injury))
	get := g.get
	if p.Consequence == score.CanInjure {
		get = func(key string) field {
			return g.need(key, "an injury part needs risk_km, risk_limit and worn_limit")
		}
	}
	p.RiskKM, _ = get("risk_km").number(0, span{low: 0, high: 1e6, openLow: true, say: "it lies above 0 and at most at 1000000 km"})
	p.RiskLimit, _ = get("risk_limit").number(0, chance)
	p.WornLimit, _ = get("worn_limit").number(0, chance)
}

var repairKeys = []string{"renews", "treats", "planned", "failed"}

// repairWords reads the phrases; one that means two opposite things is a
// fault.
func repairWords(f field) score.RepairWords {
	g, _ := f.group(repairKeys...)
	w := score.RepairWords{
		Renews: g.get("renews").phrases(), Treats: g.get("treats").phrases(),
		Planned: g.get("planned").phrases(), Failed: g.get("failed").phrases(),
	}
	apart(g, "renews", "treats", "a repair either renews the part or treats a symptom")
	apart(g, "planned", "failed", "a renewal is either planned or follows a failure")
	return w
}

// apart reports the phrases of the second list that stand in the first too.
func apart(g group, first, second, why string) {
	in := map[string]bool{}
	for _, item := range g.get(first).items() {
		in[plain(item.raw())] = true
	}
	for _, item := range g.get(second).items() {
		if t := plain(item.raw()); t != "" && in[t] {
			item.faultf("keep it in one of the two: "+why, "%q stands in %s and in %s", shorten(item.raw()), first, second)
		}
	}
}

// hours and days of work have a ceiling: beyond it the unit is surely another.
var (
	workHours   = span{low: 0, high: 400, openLow: true, say: "it lies above 0 and at most at 400 hours"}
	setUpHours  = span{low: 0, high: 400, say: "it lies between 0 and 400 hours"}
	someMinutes = span{low: 0, high: 1440, openLow: true, say: "it lies above 0 and at most at 1440 minutes"}
	offRoadDays = span{low: 0, high: 1000, say: "it lies between 0 and 1000 days"}
)

var inspectionKeys = []string{"visit", "set_up_hours", "hours", "detects", "false_alarm", "steps", "tools", "limits", "cautions"}

func inspection(f field) score.InspectionPlan {
	g, ok := f.group(inspectionKeys...)
	if !ok {
		return score.InspectionPlan{}
	}
	p := score.InspectionPlan{
		Visit:    g.need("visit", "what is opened together shares set_up_hours: visit: engine top").text(),
		Steps:    g.get("steps").texts(),
		Tools:    g.get("tools").texts(),
		Limits:   limits(g.get("limits")),
		Cautions: g.get("cautions").texts(),
	}
	p.SetUpHours, _ = g.get("set_up_hours").number(0, setUpHours)
	p.Hours, _ = g.need("hours", "bay-hours for the look itself: hours: 0.75").number(0, workHours)
	p.Detects, p.FalseAlarm = detection(g)
	return p
}

// detection reads the two rates of a look; one that alarms as often on sound
// parts as on worn ones tells nothing.
func detection(g group) (detects, falseAlarm float64) {
	at := g.need("detects", "the chance to find wear that is there: detects: 0.9")
	detects, ok := at.number(0, chance)
	alarm := g.get("false_alarm")
	falseAlarm, _ = alarm.number(0, share)
	if ok && falseAlarm >= detects {
		alarm.faultf("the look would tell nothing; check the two rates", "false_alarm is %g and detects is %g", falseAlarm, detects)
	}
	return detects, falseAlarm
}

func limits(f field) []score.Limit {
	var out []score.Limit
	seen := map[string]bool{}
	for _, item := range f.items() {
		g, ok := item.group("measure", "sound_to", "worn_from")
		if !ok {
			continue
		}
		at := g.need("measure", "the name of the measured value, with its unit: measure: tappet_mm")
		l := score.Limit{Measure: at.text()}
		l.SoundTo, _ = g.need("sound_to", "the value up to which the part is sound").number(0, anything)
		l.WornFrom, _ = g.need("worn_from", "the value from which the part is worn").number(0, anything)
		if seen[l.Measure] && l.Measure != "" {
			at.faultf("keep one", "the measure %s has limits already", shorten(l.Measure))
		}
		seen[l.Measure] = true
		out = append(out, l)
	}
	return out
}

func checks(f field) (out []score.Check, at []group) {
	seen := map[string]bool{}
	for _, item := range f.items() {
		g, ok := item.group("id", "minutes", "place", "detects", "false_alarm", "steps", "cautions")
		if !ok {
			continue
		}
		id := g.need("id", "give the check a short name: id: listen")
		c := score.Check{ID: readID(id), Steps: g.get("steps").texts(), Cautions: g.get("cautions").texts()}
		c.Minutes, _ = g.need("minutes", "how long the check takes: minutes: 4").number(0, someMinutes)
		c.Place = g.need("place", "where it can be done: yard, counter or bay").oneOf("", "yard", "counter", "bay")
		c.Detects, c.FalseAlarm = detection(g)
		if seen[c.ID] && c.ID != "" {
			id.faultf("give each check an id of its own", "the part has a check %s already", c.ID)
		}
		seen[c.ID] = true
		out, at = append(out, c), append(at, g)
	}
	return out, at
}

var costKeys = []string{"planned_repair", "failure", "off_road_days"}

func costs(f field) score.Costs {
	g, _ := f.group(costKeys...)
	if !f.written() {
		return score.Costs{}
	}
	var c score.Costs
	var ok1, ok2 bool
	c.PlannedRepair, ok1 = g.need("planned_repair", "what a planned repair costs, all in").number(0, atLeast0)
	at := g.need("failure", "what a failure in service costs, damage and recovery included")
	c.Failure, ok2 = at.number(0, atLeast0)
	c.OffRoadDays, _ = g.get("off_road_days").number(0, offRoadDays)
	if ok1 && ok2 && c.Failure < c.PlannedRepair {
		at.faultf("no inspection could ever pay; check whether the two are swapped",
			"failure costs %g, less than planned_repair with %g", c.Failure, c.PlannedRepair)
	}
	return c
}

func kit(f field) score.Kit {
	g, ok := f.group("part_no", "quantity")
	if !ok {
		return score.Kit{}
	}
	return score.Kit{
		PartNo:   g.need("part_no", "the number to order by").text(),
		Quantity: g.get("quantity").whole(1, span{low: 1, high: 10000, say: "it lies between 1 and 10000"}),
	}
}
