package plan

// Outcome is what the chosen looks at a vehicle may show, and what a buyer then
// makes of it: that none of them speaks, or that one does, of one part, and the
// others do not. Results of which several speak are left out: whoever sees two
// signs has the answer of each.
type Outcome struct {
	Look      *Look   // the look that speaks; nil: none does
	At        *LookAt // the part that it speaks of
	Chance    float64 // of this result
	Deduction float64
	Bill      Bill
	BidLimit  float64 // auction, where the offer has one; see Offer.BidLimit
}

// outcomes reckons what follows from the results of an offer's chosen looks, the
// one in which none speaks first. Deduction, bill and bid limit are MODEL's with
// the posterior after the result; parts that are not looked at stay as they are.
func (m *maker) outcomes(o *Offer) []Outcome {
	var out []Outcome
	add := func(l *Look, at *LookAt) {
		if r, ok := m.outcome(o, l, at); ok {
			out = append(out, r)
		}
	}
	if len(o.Chosen.Looks) == 0 {
		return nil
	}
	add(nil, nil)
	for i := range o.Chosen.Looks {
		l := &o.Chosen.Looks[i]
		for j := range l.Parts {
			add(l, &l.Parts[j])
		}
	}
	return out
}

// outcome is one of them; ok is false where it cannot be.
func (m *maker) outcome(o *Offer, l *Look, spoke *LookAt) (r Outcome, ok bool) {
	r = Outcome{Look: l, At: spoke, Chance: 1, Deduction: o.Deduction}
	for i := range o.Causes {
		c := &o.Causes[i]
		worn, not, looked := o.Chosen.likelihoods(c, spoke)
		if !looked {
			r.Bill = r.Bill.Add(c.Bill)
			continue
		}
		chance, after := beliefsOf(c.Finding).seen(worn, not)
		if !(chance > 0) {
			return Outcome{}, false
		}
		r.Chance *= chance
		r.Deduction += c.deductionAt(after) - c.Deduction
		r.Bill = r.Bill.Add(c.billAt(after))
	}
	r.BidLimit = m.bidLimit(o.Price, r.Deduction, r.Bill)
	return r, true
}

// likelihoods multiplies what the looks at a part say, worn and not worn, when
// none of them speaks but the one given; looked tells whether any looks at it.
func (s *LookSet) likelihoods(c *Cause, spoke *LookAt) (worn, not float64, looked bool) {
	worn, not = 1, 1
	for i := range s.Looks {
		for j := range s.Looks[i].Parts {
			at := &s.Looks[i].Parts[j]
			if at.Finding != c.Finding {
				continue
			}
			looked = true
			if at == spoke {
				worn, not = worn*at.Check.Detects, not*at.Check.FalseAlarm
			} else {
				worn, not = worn*(1-at.Check.Detects), not*(1-at.Check.FalseAlarm)
			}
		}
	}
	return worn, not, looked
}

// bidLimit is the guide price less the deduction or the bill's cover quantile,
// whichever is more, less the margin.
func (m *maker) bidLimit(price, deduction float64, b Bill) float64 {
	return price - max(deduction, b.Quantile(m.opts.Buying.Cover)) - m.opts.Buying.Margin
}
