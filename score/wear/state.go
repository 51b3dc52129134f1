package wear

import "math"

// State is what is believed of one vehicle's part: the hypotheses' masses, each
// set summing to 1, and what they say of the distance ahead.
type State struct {
	// Before any factor: from distances, share and records alone. (What stands
	// before part of the evidence is the posterior of a history with the rest.)
	PriorImmune, PriorSound, PriorWorn, PriorRectified float64
	// After it.
	Immune, Sound, Worn, Rectified float64
	// Impossible: the evidence leaves nothing of any hypothesis (a detection of
	// 1 against a certain sign of wear, say). The masses are then the prior's.
	Impossible bool

	model *Model
	x, lx float64 // own distance, and its log2
	shift float64 // added to logarithms of masses, far out in the tail
	mass  float64 // worn mass of the weak population, with the factors if dated
	sound float64 // sound mass, likewise, without the factors
	*past
}

// past is what else the masses rest on. Most parts have none, and share one.
type past struct {
	steps  []step  // nil: nothing dated before today
	terms  []term  // of each life in turn, one a step
	places []place // lives after unseen renewals, the life on record first; nil: none
}

var noPast = &past{} // never written to

// place is one possible life of the part that sits in the vehicle now.
type place struct {
	begin, weight float64 // own distance at which it began, and its mass
	x             float64 // its own distance now
	worn, sound   float64 // its masses, times weight; their logarithms without it, until State.unseen
}

// Assess weighs a history: joint masses of the hypotheses, the part not being
// known to have failed, multiplied by the evidence and normalised. The limited
// failure population is Meeker's (1987), the worn mass Christer & Waller's
// (1984). It never fails: see History on values out of range.
func (m *Model) Assess(h History) State {
	h.clean()
	s := State{model: m, x: h.X, lx: math.Log2(h.X), past: noPast}
	worn, notWorn, dated := h.now()
	if dated {
		s.past = &past{steps: h.steps()}
	}
	priorWorn, rectified := s.masses(&h)
	if dated {
		worn = 1 // the factors are in the mass already
	} else {
		s.mass = priorWorn
	}
	immune, p := 1-h.Share, h.Share
	s.PriorImmune, s.PriorSound, s.PriorWorn, s.PriorRectified, _ =
		normalise(immune, p*s.sound, p*priorWorn, p*rectified)
	if h.Found {
		s.Worn = 1
		return s
	}
	var ok bool
	s.Immune, s.Sound, s.Worn, s.Rectified, ok =
		normalise(immune*notWorn, p*s.sound*notWorn, p*worn*s.mass, p*rectified*notWorn)
	if !ok {
		s.Impossible = true
		s.Immune, s.Sound, s.Worn, s.Rectified = s.PriorImmune, s.PriorSound, s.PriorWorn, s.PriorRectified
	}
	return s
}

// masses sets the sound mass and, where factors are dated, the worn mass with
// them; it returns the worn mass without factors and the rectified mass.
func (s *State) masses(h *History) (worn, rectified float64) {
	m := s.model
	logSound, logWorn := -m.onset.CumHazard(s.x), m.logMassAt(s.x, s.lx)
	if h.E > 0 && m.replacement == Improved {
		rectified = m.goneMass(h.E)
	}
	top := max(logSound, logWorn)
	if h.E > 0 && m.replacement == Same && m.goneMass(h.E) > 1e-14 {
		s.past = &past{steps: s.steps, places: m.lives(h.E, s.x, s.steps)}
		s.places[0].worn, s.places[0].sound = logWorn, logSound
		if top < vanishing {
			top = greatest(s.places)
		}
	}
	if top < vanishing && h.Share == 1 && rectified == 0 {
		s.shift = -top // all masses would vanish; only their ratios count
	}
	s.sound, worn = math.Exp(logSound+s.shift), math.Exp(logWorn+s.shift)
	if s.places != nil {
		worn = s.unseen()
	}
	if s.steps != nil {
		s.mass = s.datedMass()
	}
	return worn, rectified
}

// vanishing is a logarithm of a mass below which the exponential soon is 0.
const vanishing = -500

func normalise(a, b, c, d float64) (float64, float64, float64, float64, bool) {
	sum := a + b + c + d
	if !(sum > 0) {
		return 0, 0, 0, 0, false
	}
	return a / sum, b / sum, c / sum, d / sum, true
}

// FailWorn is the chance in [0, 1] that the part, if worn now, fails within a
// further distance d.
func (s State) FailWorn(d float64) float64 {
	if d = distance(d); d == 0 {
		return 0
	}
	return s.failWorn(d, math.Log2(d))
}

// FailSound is the chance in [0, 1] that the part, if sound now, wears and
// fails within a further distance d.
func (s State) FailSound(d float64) float64 {
	if d = distance(d); d == 0 {
		return 0
	}
	return s.failSound(d, math.Log2(d))
}

// Fail is the chance in [0, 1] that the part fails within a further distance d:
// FailWorn and FailSound weighted with the posterior. Immune and rectified
// parts do not fail.
func (s State) Fail(d float64) float64 {
	worn, sound := s.Follow(d)
	return s.Worn*worn + s.Sound*sound
}

// Follow is FailWorn and FailSound in one call.
func (s State) Follow(d float64) (ifWorn, ifSound float64) {
	if d = distance(d); d == 0 {
		return 0, 0
	}
	ld := math.Log2(d)
	return s.failWorn(d, ld), s.failSound(d, ld)
}

func (s *State) failWorn(d, ld float64) float64 {
	if s.steps == nil && s.places == nil || !(s.mass > 0) {
		return -math.Expm1(-s.model.hazardAt(s.x, s.lx, d, ld))
	}
	return min(1, s.lost(d)/s.mass)
}

func (s *State) failSound(d, ld float64) float64 {
	m := s.model
	if s.places == nil || !(s.sound > 0) {
		return m.soundFailAt(s.x, s.lx, d, ld)
	}
	sum := 0.0
	for i := range s.places {
		p := &s.places[i]
		sum += p.sound * m.soundFailAt(p.x, math.Log2(p.x), d, ld)
	}
	return min(1, sum/s.sound)
}
