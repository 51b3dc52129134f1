package life

import "math"

// LifeWald is the Wald interval of Life(p), on the log scale. No part of the program
// asks for it; it holds lifeSE, from which the profile sets out, against its source.
func (f *Fit) LifeWald(p, level float64) (Interval, error) {
	z, zp, err := f.lifeArgs(p, level)
	if err != nil {
		return Interval{}, err
	}
	y, half := f.top.at[place]+zp/f.top.k, z*f.lifeSE(zp)
	return Interval{Low: math.Exp(y - half), High: math.Exp(y + half), Level: level}, nil
}
