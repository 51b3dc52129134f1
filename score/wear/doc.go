// Package wear weighs how far a weak part of one vehicle has come on its way
// from sound to worn to failed, and what that means for the distance ahead.
//
// It does not read records, decide who belongs to the weak population, rate
// observations or count money: distances, the share and the likelihoods of the
// observations are the caller's. A part known to have failed is not its matter.
//
// Usual steps:
//
//  1. New makes a Model of a part from its two curves, once;
//  2. Assess weighs a History, in distances of the part's own, into a State;
//  3. the State's Immune, Sound, Worn and Rectified are the posterior, and
//     FailWorn, FailSound, Fail or Follow say what follows over a distance;
//  4. NewDraws and its Assess give the same over parameter draws, for
//     intervals; Percentile picks their ends.
//
// Sources: delay-time model, Christer & Waller, J. Opl Res. Soc. 35 (1984);
// interval from potential to functional failure, Moubray, Reliability-centred
// Maintenance (1997); limited failure population, Meeker, Technometrics 29
// (1987); renewal density, Xie, Microelectronics Reliability 29 (1989).
package wear
