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
func (s *State) datedMass() float64 {
	one := [1]place{{weight: 1, x: s.x}}
	lives := s.places
	if lives == nil {
		lives = one[:]
	}
	s.terms = make([]term, 0, len(lives)*len(s.steps))
	sum, size := 0.0, 0.0
	for i := range lives {
		p := &lives[i]
		mass, terms := s.stretches(p)
		p.worn = p.weight * mass
		sum += p.worn
		size += p.weight * terms
	}
	if sum >= 1e-2*size {
		return sum
	}
	sum = 0 // the stretches cancel: integrate each by itself
	for i := range lives {
		p := &lives[i]
		mass, _ := s.exactly(p, 0)
		p.worn = p.weight * mass
		sum += p.worn
	}
	return sum
}

// term is one step's B(y, x-y) times its weight, and the hazard within it; both
// 0 where a life began after the step.
type term struct{ mass, hazard float64 }

// stretches is the worn mass of a life without its weight, and the size of the
// terms that it is the sum of; it keeps the terms for what follows.
func (s *State) stretches(p *place) (sum, size float64) {
	for _, st := range s.steps {
		t := term{}
		if y := st.at - p.begin; y >= shortest {
			t.hazard = s.model.hazard(y, p.x-y)
			t.mass = st.weight * math.Exp(s.model.logMass(y)+s.shift-t.hazard)
			sum += t.mass
			size += math.Abs(t.mass)
		}
		s.terms = append(s.terms, t)
	}
	return sum, size
}

// lost is the worn mass, with the factors if they are dated, that fails
// within d.
func (s *State) lost(d float64) (sum float64) {
	if s.steps == nil {
		for i := range s.places {
			p := &s.places[i]
			sum -= p.worn * math.Expm1(-s.model.hazard(p.x, d))
		}
		return sum
	}
	one := [1]place{{weight: 1, x: s.x, worn: s.mass}}
	lives, allowed := one[:], 2e-7
	if s.places != nil {
		lives, allowed = s.places, 1e-5
	}
	wrong := 0.0
	for i := range lives {
		p := &lives[i]
		lost, doubtful := s.stretchesLost(p, s.terms[i*len(s.steps):], d)
		sum += p.weight * lost
		wrong += p.weight * doubtful
	}
	if wrong <= allowed*sum || !(s.mass > 0) {
		return sum
	}
	sum = 0
	for i := range lives {
		_, lost := s.exactly(&lives[i], d)
		sum += lives[i].weight * lost
	}
	return sum
}

// stretchesLost is what a life's stretches, given by their terms, lose over a
// further d, and the error that the tables may have put in it.
func (s *State) stretchesLost(p *place, terms []term, d float64) (sum, wrong float64) {
	for i, st := range s.steps {
		t := terms[i]
		if t.mass == 0 {
			continue
		}
		y := st.at - p.begin
		growth := s.model.hazard(y, p.x-y+d) - t.hazard
		sum -= t.mass * math.Expm1(-growth)
		wrong += math.Abs(t.mass) * (t.hazard + min(1, growth)) * doubt
	}
	if s.model.meanDelay > 0 {
		wrong *= 1e-6 // the hazards are exact
	}
	return sum, wrong
}

// exactly is stretches and stretchesLost by quadrature of each stretch.
func (s *State) exactly(p *place, d float64) (mass, lost float64) {
	level := 0.0
	for _, st := range s.steps {
		level += st.weight
	}
	from := 0.0
	ds, hazard := [1]float64{d}, [1]float64{}
	for _, st := range s.steps {
		if y := st.at - p.begin; y > from && y >= shortest {
			if level > 0 {
				part := level * math.Exp(s.model.wornSegment(from, y, p.x, ds[:], hazard[:])+s.shift)
				mass += part
				lost -= part * math.Expm1(-hazard[0])
			}
			from = y
		}
		level -= st.weight
	}
	return mass, lost
}
