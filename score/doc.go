// Package score is the domain and the judgement: a fleet's vehicles with the
// facts that were read of them, the catalogue of weak parts, and the Scorer
// that says of each vehicle which part may be worn, how likely, and why.
//
// It opens no file, reads no clock and draws no random number without a seed
// from outside; it plans nothing and words no report. Wear, evidence, codes,
// VINs, distances and workshop wording each have a package below; what an
// inspection is worth is score/plan's business.
//
// The usual steps:
//
//  1. make a Scorer of a Catalogue and the run's Settings: what depends on a
//     part alone, or on a parameter draw alone, is computed once;
//  2. AssessAll the vehicles, in parallel, the order kept;
//  3. hand the Assessments to score/plan.
package score
