package ingest

import "iter"

// pile is a list that only grows, in pieces, so that a long sheet's facts are
// never copied from a smaller place to a larger one.
type pile[T any] struct {
	pieces [][]T
	n      int
}

// pieceSize is how many items a piece holds.
const pieceSize = 512

func (p *pile[T]) add(item T) {
	last := len(p.pieces) - 1
	if last < 0 || len(p.pieces[last]) == pieceSize {
		var piece []T
		if last >= 0 {
			piece = make([]T, 0, pieceSize)
		} // else it grows as small sheets need
		p.pieces = append(p.pieces, piece)
		last++
	}
	p.pieces[last] = append(p.pieces[last], item)
	p.n++
}

func (p *pile[T]) len() int { return p.n }

// at points to item i, from 0.
func (p *pile[T]) at(i int32) *T { return &p.pieces[i/pieceSize][i%pieceSize] }

// take hands every item to use, in order, and lets go of each piece of which use
// wants to see no item again.
func (p *pile[T]) take(use func(*T) (again bool)) {
	for i, piece := range p.pieces {
		wanted := false
		for k := range piece {
			wanted = use(&piece[k]) || wanted
		}
		if !wanted {
			p.pieces[i] = nil
		}
	}
}

// all goes through the items in order.
func (p *pile[T]) all() iter.Seq[*T] {
	return func(yield func(*T) bool) {
		for _, piece := range p.pieces {
			for i := range piece {
				if !yield(&piece[i]) {
					return
				}
			}
		}
	}
}
