package cohort

import (
	"slices"

	"pitlist/score"
	"pitlist/score/evidence"
)

// Rate is what the fleet's own openings say of one rule of evidence. Only opened
// vehicles count: where somebody opened the part because the rule had spoken,
// the counts lean that way, and nothing here can tell.
type Rate struct {
	Group, Rule   int     // in the part's Evidence
	Worn, NotWorn Seen    // when the part was found worn, and when it was not
	Weight        float64 // behind both rates now: the old plus the smaller of the two gains
	OldWeight     float64
	WornWeight    float64 // behind the worn rate alone
	NotWornWeight float64 // behind the not-worn rate alone
}

// Seen is how often a rule spoke in the openings of one kind.
type Seen struct {
	Openings int     // in which the rule could have spoken
	NoChance int     // in which it could not: no scan, nothing measured, no text of a kind that says its words
	Spoke    int     // of Openings
	Trials   float64 // what they weigh: a code that had little distance to set counts for less
	Old, New float64 // rate
}

// NoChance is the number of openings that could tell nothing of the rule.
func (r *Rate) NoChance() int { return r.Worn.NoChance + r.NotWorn.NoChance }

// ratesOf counts, over the lives' last openings, how often each rule spoke, and
// updates its two rates: Beta, the catalogue's as prior with the rule's weight. A
// life counts once, at its last look (later looks at the same wear would count
// one truth twice). Rates of a group that sum to more than 1 are divided by their
// sum.
func ratesOf(weak *score.WeakPart, pasts []score.Lives) []Rate {
	var out []Rate
	trials, openings := trialsOf(weak, pasts)
	for g := range weak.Evidence {
		group := &weak.Evidence[g]
		worn, notWorn := make([]float64, len(group.Rules)), make([]float64, len(group.Rules))
		from := len(out)
		for i := range group.Rules {
			r := &group.Rules[i]
			rate := Rate{Group: g, Rule: i, OldWeight: r.PriorWeight()}
			rate.Worn = update(r.Worn, r.PriorWeight(), trials[key{g, i, true}])
			rate.NotWorn = update(r.NotWorn, r.PriorWeight(), trials[key{g, i, false}])
			rate.Worn.NoChance = openings[true] - rate.Worn.Openings
			rate.NotWorn.NoChance = openings[false] - rate.NotWorn.Openings
			rate.WornWeight, rate.NotWornWeight = rate.OldWeight+rate.Worn.Trials, rate.OldWeight+rate.NotWorn.Trials
			rate.Weight = min(rate.WornWeight, rate.NotWornWeight)
			worn[i], notWorn[i] = rate.Worn.New, rate.NotWorn.New
			out = append(out, rate)
		}
		group.AtMostOne(worn)
		group.AtMostOne(notWorn)
		for i := range group.Rules {
			out[from+i].Worn.New, out[from+i].NotWorn.New = worn[i], notWorn[i]
		}
	}
	return out
}

// key names a rule and whether the part was found worn.
type key struct {
	group, rule int
	worn        bool
}

// trialsOf sorts the trials of all lives' last openings by rule and finding, and
// counts the openings by finding. A rule of words had its chance where a text was
// read of a kind that says these words anywhere in the fleet: a register of
// services says nothing of noises, and its silence is none.
func trialsOf(weak *score.WeakPart, pasts []score.Lives) (trials map[key][]evidence.Trial, openings map[bool]int) {
	trials, openings = map[key][]evidence.Trial{}, map[bool]int{}
	said := saidIn(pasts)
	for i := range pasts {
		for j := range pasts[i].Of {
			look := pasts[i].Of[j].Look
			if look == nil {
				continue
			}
			openings[look.Worn]++
			for _, t := range look.Trials {
				words := len(weak.Evidence[t.Group].Rules[t.Rule].Words) > 0
				if words && !t.Spoke && t.Texts&said[[2]int{t.Group, t.Rule}] == 0 {
					continue
				}
				k := key{t.Group, t.Rule, look.Worn}
				trials[k] = append(trials[k], t)
			}
		}
	}
	return trials, openings
}

// saidIn is for each rule of words the kinds of text that say it in the fleet.
func saidIn(pasts []score.Lives) map[[2]int]evidence.Texts {
	out := map[[2]int]evidence.Texts{}
	for i := range pasts {
		for _, h := range pasts[i].Heard {
			out[[2]int{h.Group, h.Rule}] |= h.Texts
		}
	}
	return out
}

// settleRounds is far more than the update needs: each round multiplies what is
// missing by less than one half where the prior weighs anything.
const settleRounds = 200

// update is the Beta rate with the trials. A silence whose code had only a chance
// to set (Ready) is one trial with the probability that it had the distance, given
// the silence: the chance is s·Ready, not s. That probability depends on the rate,
// which is therefore found by repetition (Dempster, Laird & Rubin, J. R. Statist.
// Soc. B 39 (1977)).
func update(old, weight float64, trials []evidence.Trial) Seen {
	s := Seen{Openings: len(trials), Old: old, New: old}
	quiet := map[float64]int{} // silences by Ready, which few values have
	var ready []float64
	for _, t := range trials {
		if t.Spoke {
			s.Spoke++
			continue
		}
		if quiet[t.Ready] == 0 {
			ready = append(ready, t.Ready)
		}
		quiet[t.Ready]++
	}
	slices.Sort(ready)
	for range settleRounds {
		s.Trials = float64(s.Spoke)
		for _, c := range ready {
			s.Trials += float64(quiet[c]) * enough(c, s.New)
		}
		next := (old*weight + float64(s.Spoke)) / (weight + s.Trials)
		if next == s.New {
			break
		}
		s.New = next
	}
	return s
}

// enough is the probability that a code of which nothing was seen had distance
// enough to set, ready before anything was seen, at the rate s.
func enough(ready, s float64) float64 {
	if ready*s >= 1 {
		return 1
	}
	return ready * (1 - s) / (1 - ready*s)
}
