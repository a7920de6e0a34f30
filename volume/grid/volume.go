package grid

// volumes are cut, fill and cut less fill, as depth times cells.
type volumes struct{ cut, fill, net float64 }

// split finds the volumes of a part from the depths at the cell's corners and
// their weights.
func (p *part) split(o *Options, depth, weights *[4]float64) volumes {
	up, down := 0.0, 0.0 // corners in cut and in fill apart
	for i, d := range depth {
		up += float64(weights[i] * max(d, 0))
		down += float64(weights[i] * max(-d, 0))
	}
	v := volumes{net: up - down}
	switch {
	case up == 0 || down == 0 || o.Split == CornerSums:
		v.cut, v.fill = up, down
	case o.Split == FourPoint:
		v.cut, v.fill = up*(up/(up+down)), down*(down/(up+down))
	default:
		v.cut, v.fill = p.zeroLine(o.Rule, depth)
	}
	return v
}

// zeroLine parts a cell where depth is zero and integrates both sides.
func (p *part) zeroLine(rule Rule, depth *[4]float64) (cut, fill float64) {
	var room [12]point
	for _, tri := range triangles[rule] {
		t := tri.at(depth)
		p.pieces(&t, func(r polygon) {
			above := clip(room[:0], r, func(q *point) float64 { return q.d }, onZero)
			cut += above.integral()
			below := clip(room[:0], r, func(q *point) float64 { return -q.d }, onZero)
			fill -= below.integral()
		})
	}
	return max(cut, 0), max(fill, 0)
}

func onZero(q *point) { q.d = 0 }
