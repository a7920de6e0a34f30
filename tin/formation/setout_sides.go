package formation

// SideRule is what holds along a side of a pad's outline.
type SideRule struct {
	Margin    float64 // metres on the grid
	Cut, Fill Batter
}

// SideRules returns what holds along the sides of all rings, each from a corner to the
// next, in the order of [Geometry].Corners. Its errors are those of [Pad.Check].
func (p Pad) SideRules() ([][]SideRule, error) {
	terms, err := p.sideTerms(outlineRings(p.Outline))
	if err != nil {
		return nil, err
	}
	out := make([][]SideRule, len(terms))
	for r, ring := range terms {
		for _, t := range ring {
			out[r] = append(out[r], SideRule{t.margin, t.cut, t.fill})
		}
	}
	return out, nil
}
