package plan

import "pitlist/score"

// KitNeed is how many renewals of a part may come before what is ordered today
// is delivered.
type KitNeed struct {
	Part     *score.WeakPart
	Places   int     // vehicle-parts that may need one
	Expected float64 // kits
	Hold     int     // kits: the smallest n with P(N <= n) at least the service level
	Pieces   int     // of the part's number: Hold times what a kit holds
}

// kits reckons the kits to hold of every part that stands on any vehicle: the
// number needed until the next delivery is Poisson-binomial.
func (o *Options) kits(l *List) []KitNeed {
	if !(o.Kits.Service > 0) {
		return nil
	}
	var all []kitCount // by place in the catalogue
	add := func(f *score.Finding, p float64) {
		for len(all) <= f.PartIndex {
			all = append(all, kitCount{})
		}
		k := &all[f.PartIndex]
		k.part, k.places = f.Part, k.places+1
		k.count.add(p)
	}
	for i := range l.Rows {
		r := &l.Rows[i]
		for j := range r.Parts {
			add(r.Parts[j].Finding, r.Parts[j].needsKit(o.ahead(r.Parts[j].Finding), r.Above && !r.closes(j)))
		}
		for j := range r.Others {
			add(r.Others[j].Finding, r.Others[j].needsKit(o.ahead(r.Others[j].Finding), false))
		}
		for _, f := range r.Awaiting {
			add(f, 1)
		}
	}
	for _, a := range l.Awaiting {
		for i := range a.Findings {
			if f := &a.Findings[i]; f.Standing == score.AwaitingRepair {
				add(f, 1)
			}
		}
	}
	return o.held(all)
}

// kitCount sums up the chances of one part.
type kitCount struct {
	part   *score.WeakPart
	places int
	count  count
}

func (o *Options) held(all []kitCount) []KitNeed {
	var out []KitNeed
	for i := range all {
		k := &all[i]
		if k.part == nil {
			continue
		}
		n := k.count.all.Quantile(o.Kits.Service)
		out = append(out, KitNeed{k.part, k.places, k.count.mean, n, n * max(1, k.part.Kit.Quantity)})
	}
	return out
}

// closes tells that a part of the row is scored and cannot be opened.
func (r *Row) closes(j int) bool {
	return r.Parts[j].Closed && r.Parts[j].Finding.Standing == score.Scored
}

// ahead is the distance until the next delivery on the part's axis.
func (o *Options) ahead(f *score.Finding) float64 {
	return o.Kits.DeliveryDays * f.UseADay()
}

// needsKit is the chance that the part is renewed within d ahead: because it
// fails, or, where it is opened now, because wear is found, rightly or not, or
// fails all the same. What was found worn is renewed for certain.
func (c *Choice) needsKit(d float64, opened bool) float64 {
	f := c.Finding
	if f.Standing == score.WornFound {
		return 1
	}
	if !opened {
		return f.State.Fail(d)
	}
	r, a := f.Part.Inspection.Detects, f.Part.Inspection.FalseAlarm
	worn, sound := f.State.Worn, f.State.Sound
	ifWorn, ifSound := f.State.Follow(d)
	return worn*r + (1-worn)*a + worn*(1-r)*ifWorn + sound*(1-a)*ifSound
}
