package grid

import (
	"cmp"
	"math"
	"slices"

	"barrow/tin"
)

// Weight is the corners of a table at which as many cells, or triangles, meet.
type Weight struct {
	Meet    int     // cells at each, by the square rule 1 to 4; triangles, by a triangular rule 1 to 6
	Corners int     // how many corners
	Depths  float64 // sum of their depths, metres
}

// Weights returns the table's corners by the number of complete cells, or by a triangular
// rule triangles, that meet there; those of no complete cell have 0. Cut less fill is the
// sum of Meet times Depths, times a cell's area over 4, or 6 by a triangular rule.
//
// Errors are those of [Table.Measure].
func (t Table) Weights(rule Rule) ([]Weight, error) {
	meet, err := t.Meeting(rule)
	if err != nil {
		return nil, err
	}
	sums := map[int]*tin.Sum{}
	var out []Weight
	for _, i := range t.inOrder() {
		m := meet[i]
		if sums[m] == nil {
			sums[m] = &tin.Sum{}
			out = append(out, Weight{Meet: m})
		}
		sums[m].Add(t.Corners[i].Depth)
		k := slices.IndexFunc(out, func(w Weight) bool { return w.Meet == m })
		out[k].Corners++
	}
	for k := range out {
		out[k].Depths = sums[out[k].Meet].Value()
	}
	slices.SortFunc(out, func(a, b Weight) int { return cmp.Compare(a.Meet, b.Meet) })
	return out, nil
}

// inOrder returns the corners' places in the list by row and column, so that sums do not
// depend on the order of the list.
func (t Table) inOrder() []int {
	order := make([]int, len(t.Corners))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(t.Corners[a].Row, t.Corners[b].Row), cmp.Compare(t.Corners[a].Column, t.Corners[b].Column))
	})
	return order
}

// Meeting returns for each corner of the table how many complete cells meet there, or by
// a triangular rule triangles. Errors are those of [Table.Measure].
func (t Table) Meeting(rule Rule) ([]int, error) {
	if err := (&Options{Rule: rule}).check(); err != nil {
		return nil, err
	}
	if err := t.Layout.check(DefaultMaxCells); err != nil {
		return nil, err
	}
	depth, err := t.depths()
	if err != nil {
		return nil, err
	}
	shares := 4.0
	if rule != Square {
		shares = 6
	}
	columns := t.Layout.Columns + 1
	count := make([]int, len(depth))
	for row := range t.Layout.Rows {
		for column := range t.Layout.Columns {
			first := row*columns + column
			at := [4]int{first, first + 1, first + columns + 1, first + columns}
			if math.IsNaN((depth[at[0]] + depth[at[1]]) + (depth[at[2]] + depth[at[3]])) {
				continue
			}
			for k, i := range at {
				count[i] += int(math.Round(shares * wholeWeights[rule][k]))
			}
		}
	}
	out := make([]int, len(t.Corners))
	for i, c := range t.Corners {
		out[i] = count[c.Row*columns+c.Column]
	}
	return out, nil
}
