package cohort

import (
	"pitlist/score/life"
	"pitlist/score/say"
)

// Observed is the share failed by distance without any curve: Kaplan and Meier's
// estimate over the lives of vehicles that surely have the part.
type Observed struct {
	Steps    *life.Steps
	Records  []life.Record // what Steps rests on
	Late     bool          // lives whose records begin late are among them
	WornOut  int           // worn parts found and taken as censored
	Warnings []error
}

// observe makes the estimate; nil where there is no failure to draw. Lives whose
// records begin late are left out as long as the others have failures: before the
// records a failure may have been put right unseen, and who knows of it is not the
// same as who has none.
func observe(units []unit) *Observed {
	for _, late := range []bool{false, true} {
		o := &Observed{Late: late}
		failures := 0
		for i := range units {
			if !units[i].open {
				failures += o.add(&units[i])
			}
		}
		if failures == 0 {
			continue
		}
		steps, err := life.KaplanMeier(o.Records, 0)
		if err != nil {
			return nil
		}
		o.Steps, o.Warnings = steps, steps.Warnings
		if o.WornOut > 0 {
			o.Warnings = append(o.Warnings, say.One(o.WornOut, say.NewError("the steps of the records take 1 worn part as running when it was found; it would have failed sooner than others, so the steps lie low"),
				say.NewError("the steps of the records take %d worn parts as running when they were found; they would have failed sooner than others, so the steps lie low", o.WornOut)))
		}
		return o
	}
	return nil
}

func (o *Observed) add(u *unit) (failures int) {
	for i := range u.histories {
		h := &u.histories[i]
		if h.e > 0 && !o.Late || h.end == failed && h.e >= h.x {
			continue
		}
		r := life.Running(h.x)
		switch h.end {
		case failed:
			r = life.Failed(h.x)
			failures++
		case foundWorn:
			o.WornOut++
		}
		o.Records = append(o.Records, r.From(h.e))
	}
	return failures
}
