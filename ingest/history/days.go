package history

import (
	"context"
	"database/sql"
)

// Days are the days of the finished runs, ascending, each once.
func (r *Record) Days(ctx context.Context) ([]int32, error) {
	var out []int32
	err := r.each(ctx, "SELECT DISTINCT day FROM run WHERE state = ? ORDER BY day", func(rows *sql.Rows) error {
		var day int32
		err := rows.Scan(&day)
		out = append(out, day)
		return err
	}, done)
	return out, err
}
