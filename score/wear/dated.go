package wear

import "math"

// Observations made before today know only what was so when they were made, so
// the worn integral is a sum over stretches of onset. With B(y, s) the integral
// of f(u) Ḡ(y+s-u) over onsets up to y, and c(u) in Abel's form, it is the sum
// of weight·B(y, x-y); B(y, s) itself is the worn mass at y, less what its
// cumulative hazard over s has taken.

// doubt is the relative error that a table's cumulative hazard may have.
const doubt = 1e-9

// datedMass is the worn mass with the dated factors over all lives, each life's
// own kept in its place.
func (s *State) datedMass() (sum float64) {
	if s.places == nil {
		return s.stretches(0, s.x)
	}
	for i := range s.places {
		p := &s.places[i]
		p.worn = p.weight * s.stretches(p.begin, p.x)
		sum += p.worn
	}
	return sum
}

// stretches is the worn mass of a life that began at begin and is x long now.
func (s *State) stretches(begin, x float64) float64 {
	sum, size := 0.0, 0.0
	for _, st := range s.steps {
		if y := st.at - begin; y > 0 {
			b := s.upTo(y, x-y)
			sum += st.weight * b
			size += math.Abs(st.weight) * b
		}
	}
	if sum < 1e-2*size { // the stretches cancel: integrate each by itself
		mass, _ := s.exactly(begin, x, 0)
		return mass
	}
	return sum
}

// upTo is B(y, s).
func (s *State) upTo(y, ahead float64) float64 {
	return math.Exp(s.model.logMass(y) + s.shift - s.model.hazard(y, ahead))
}

// lost is the worn mass with factors that fails within d.
func (s *State) lost(d float64) (sum float64) {
	if s.places == nil {
		return s.stretchesLost(0, s.x, d)
	}
	if s.steps == nil {
		for i := range s.places {
			p := &s.places[i]
			sum -= p.worn * math.Expm1(-s.model.hazard(p.x, d))
		}
		return sum
	}
	for i := range s.places {
		p := &s.places[i]
		if p.worn > 0 {
			sum += p.weight * s.stretchesLost(p.begin, p.x, d)
		}
	}
	return sum
}

// stretchesLost is what stretches loses over a further d.
func (s *State) stretchesLost(begin, x, d float64) float64 {
	sum, wrong := 0.0, 0.0
	for _, st := range s.steps {
		y := st.at - begin
		if !(y > 0) {
			continue
		}
		before, after := s.model.hazard(y, x-y), s.model.hazard(y, x-y+d)
		b := st.weight * math.Exp(s.model.logMass(y)+s.shift-before)
		sum -= b * math.Expm1(before-after)
		wrong += math.Abs(b) * (before + min(1, after-before)) * doubt
	}
	if s.model.meanDelay > 0 {
		wrong *= 1e-6 // the hazards are exact
	}
	if !(wrong < 2e-7*sum) {
		_, sum = s.exactly(begin, x, d)
	}
	return sum
}

// exactly is stretches and stretchesLost by quadrature of each stretch.
func (s *State) exactly(begin, x, d float64) (mass, lost float64) {
	level := 0.0
	for _, st := range s.steps {
		level += st.weight
	}
	from := 0.0
	ds, hazard := []float64{d}, []float64{0}
	for _, st := range s.steps {
		if y := st.at - begin; y > from {
			if level > 0 {
				part := level * math.Exp(s.model.wornSegment(from, y, x, ds, hazard)+s.shift)
				mass += part
				lost -= part * math.Expm1(-hazard[0])
			}
			from = y
		}
		level -= st.weight
	}
	return mass, lost
}
