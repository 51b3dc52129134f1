package backtest

import (
	"context"

	"pitlist/score"
	"pitlist/score/cohort"
)

// Refitted makes a Refit of the fleet's own records: on each day the onset, the
// delay, their weight and, where a bulletin leaves it open, the share are those
// that the records of that day teach, with the catalogue as prior. The
// catalogue should be one that has not learned from the same records. Rates of
// rules stay the catalogue's. A part whose fit finds no maximum keeps its
// curves; failed, where not nil, is told so.
func Refitted(ctx context.Context, c *score.Catalogue, s score.Settings, failed func(day score.Day, part string, err error)) func(score.Day, []score.Vehicle) (*score.Catalogue, error) {
	s.Strict, s.Draws, s.Keep = true, 0, nil
	return func(day score.Day, then []score.Vehicle) (*score.Catalogue, error) {
		out := &score.Catalogue{Digest: c.Digest, Parts: append([]score.WeakPart(nil), c.Parts...)}
		j, err := judgeFor(c, day, s)
		if err != nil {
			return nil, err
		}
		parts, err := cohort.Gather(ctx, j.Scorer, then)
		if err != nil {
			return nil, err
		}
		for i := range parts {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			at := j.places[parts[i].Index]
			fit, err := parts[i].Fit()
			if err != nil {
				if failed != nil {
					failed(day, c.Parts[at].ID, err)
				}
				continue
			}
			p := &out.Parts[at]
			p.Onset, p.Delay, p.Weight, p.ShareIfUnknown = fit.New.Onset, fit.New.Delay, fit.New.Weight, fit.New.Share
		}
		return out, nil
	}
}
