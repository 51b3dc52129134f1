package life

import (
	"fmt"
	"sort"
)

// clearlyBetter is the difference in AIC below which data say little about
// which of two families is right (Burnham & Anderson, Model Selection and
// Multimodel Inference (2002), section 2.6).
const clearlyBetter = 2.0

// Choice is the families that could be fitted, likeliest first.
type Choice struct {
	Fits     []*Fit  // by AIC, the best first; at least one
	Refused  []error // the families that could not be fitted, each with its reason
	Warnings []error // above all where the data cannot tell the families apart
}

// Choose fits the families (none given: all three) and orders them by Akaike's
// criterion, which is the log-likelihood where they have equally many
// parameters. Families that fit alike within the data can part widely beyond
// them: the warning gives their lives at 10 % failed.
//
// The error is that of the records where they are faulty, else that of every
// family where none can be fitted.
func Choose(records []Record, families ...Family) (*Choice, error) {
	if len(families) == 0 {
		families = []Family{FamilyWeibull, FamilyLognormal, FamilyExponential}
	}
	if _, err := usable(records); err != nil {
		return nil, err
	}
	c := &Choice{}
	for _, family := range families {
		f, err := Estimate(records, Model{Family: family})
		if err != nil {
			c.Refused = append(c.Refused, err)
			continue
		}
		c.Fits = append(c.Fits, f)
	}
	if len(c.Fits) == 0 {
		return nil, fmt.Errorf("choice of family: %w", joined(c.Refused))
	}
	// Ties stay in the order in which the families were given.
	sort.SliceStable(c.Fits, func(i, j int) bool { return c.Fits[i].AIC() < c.Fits[j].AIC() })
	best := c.Fits[0]
	for _, f := range c.Fits[1:] {
		if gap := f.AIC() - best.AIC(); gap < clearlyBetter {
			c.Warnings = append(c.Warnings, fmt.Errorf("the data cannot tell %s from %s (AIC differs by %.2g): 10 %% failed by %.4g or by %.4g", best.Model.Family, f.Model.Family, gap, best.Life(0.1), f.Life(0.1)))
		}
	}
	for _, err := range c.Refused {
		c.Warnings = append(c.Warnings, fmt.Errorf("left out of the choice: %w", err))
	}
	c.Warnings = append(c.Warnings, best.Warnings...)
	return c, nil
}

// joined is errors on one line, all of them found by errors.Is.
func joined(errs []error) error {
	all := errs[0]
	for _, err := range errs[1:] {
		all = fmt.Errorf("%w; %w", all, err)
	}
	return all
}
