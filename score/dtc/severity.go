package dtc

import "fmt"

// Severity is how soon a code asks for a look, in the judgement of this
// project; no standard assigns one. "" is unknown.
type Severity string

// The severities, most urgent first.
const (
	Critical Severity = "critical" // do not drive, look now
	High     Severity = "high"     // this week
	Medium   Severity = "medium"   // at the next service
	Low      Severity = "low"      // emissions or comfort
)

// Rank gives 4 for critical down to 1 for low, 0 for unknown.
func (s Severity) Rank() int {
	switch s {
	case Critical:
		return 4
	case High:
		return 3
	case Medium:
		return 2
	case Low:
		return 1
	}
	return 0
}

// Validate returns an error for a word that is no severity; "" is allowed.
func (s Severity) Validate() error {
	if s != "" && s.Rank() == 0 {
		return fmt.Errorf("severity %q: want critical, high, medium or low", string(s))
	}
	return nil
}

// For lowers the severity by one step where the code is only pending: it has
// failed once and is not confirmed. Low and unknown stay as they are.
func (s Severity) For(state State) Severity {
	if state != Pending {
		return s
	}
	return s.step(-1)
}

// step moves s up or down within low to critical; unknown stays unknown.
func (s Severity) step(by int) Severity {
	if s.Rank() == 0 {
		return s
	}
	scale := [...]Severity{Low, Medium, High, Critical}
	return scale[min(max(s.Rank()-1+by, 0), len(scale)-1)]
}
