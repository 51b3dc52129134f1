// Package cohort makes life data of a fleet's own records and learns a part's
// curves from them: the onset of wear, the delay from onset to failure, the share
// of vehicles that have the part where a bulletin leaves it open, and the rates
// of the rules of evidence, each with the catalogue as prior.
//
// It reads no files and changes no catalogue: what it learns is a result that a
// person reviews. It does not judge whether the records are complete; renewals
// whose texts name no cause are counted, and what they could do to the curve is
// shown as bounds.
//
// Usual steps:
//
//  1. Gather makes the histories of every part of a fleet on a run's day;
//  2. Part.Fit learns a part's curves (FitAll: of all parts), and says how it
//     ended, what it rests on and what the records cannot tell;
//  3. a report draws Fit.Failure over Fit.Observed, and heeds Fit.Goodness.
//
// The likelihood of a history is that of the delay-time model (Christer & Waller,
// J. Opl Res. Soc. 35 (1984); for fits to inspection and failure records: Baker &
// Wang, IMA J. Math. Appl. Bus. Ind. 3 (1992), from memory), with a limited failure
// population (Meeker, Technometrics 29 (1987)). The estimate is the maximum a
// posteriori over log-parameters; the prior is that of life.Prior.
package cohort
