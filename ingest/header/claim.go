package header

import (
	"slices"
)

// What a column claims, while it is settled.

// take gives a column one claim on the strength of its values; it is never sure.
func (s *sheet) take(i int, f Field, r rank, why string) {
	rest := slices.DeleteFunc(s.live[i], func(c claim) bool { return c.field == f })
	for k := range rest {
		rest[k].rank = nearby
	}
	s.live[i] = append([]claim{{f, r, ""}}, rest...)
	s.cols[i].Sure, s.cols[i].Why = false, why
}

// drop turns a claim into a mere candidate.
func (s *sheet) drop(i int, f Field) {
	for k := range s.live[i] {
		if s.live[i][k].field == f {
			s.live[i][k].rank = nearby
		}
	}
	slices.SortStableFunc(s.live[i], func(a, b claim) int { return int(b.rank) - int(a.rank) })
}

// isTold reports that the job says what column i holds.
func (s *sheet) isTold(i int) bool { return rankOf(s.live[i]) == told }

// isUnknown reports a heading of which nothing is known, neither what it means nor that it is of no use.
func (s *sheet) isUnknown(i int) bool {
	return s.cols[i].Heading != "" && rankOf(s.live[i]) < weak && !s.matches[i].useless
}

func rankOf(claims []claim) rank {
	if len(claims) == 0 {
		return 0
	}
	return claims[0].rank
}

// rankIn is the rank of the claim on one field; 0 where there is none.
func rankIn(claims []claim, f Field) rank {
	for _, c := range claims {
		if c.field == f {
			return c.rank
		}
	}
	return 0
}

func topField(claims []claim) Field {
	if rankOf(claims) < weak {
		return Ignore
	}
	return claims[0].field
}

// hasClaim reports a claim that could be taken.
func hasClaim(claims []claim, f Field) bool {
	return slices.ContainsFunc(claims, func(c claim) bool { return c.field == f && c.rank >= weak })
}

// topOf is the field that the words of a heading claim best; Ignore where none could be taken.
func topOf(got match) Field { return topField(got.claims) }
