package section

import "github.com/paulmach/orb"

// Section is a vertical cut across an alignment. Offsets are measured in the
// section: at a bend, along the bisector.
type Section struct {
	Chainage float64
	Side     Side      // at an upright face across the alignment: the side it shows
	At       orb.Point // on the alignment, metres
	Right    orb.Point // unit vector of growing offsets
	// Skew is the tangent of the angle by which the section is turned off the
	// square to its leg, positive where its right end lies ahead of that.
	Skew float64

	Ground    []Stretch // existing ground, as far as it is shown
	Formation []Stretch
	Strips    []Strip // where there are works

	// From and To are the offsets between which the works lie; both 0 without any.
	From, To  float64
	Cut, Fill Area    // in the section's own plane
	Uncovered float64 // metres of formation without ground, which count in neither

	out float64 // tangent of half the deflection towards the next section, 0 but at a bend
	in  float64 // towards the section before
}

// measure fills in what follows from the profiles.
func (s *Section) measure() {
	s.Strips, s.Uncovered = strips(s.Ground, s.Formation)
	var t sums
	for _, strip := range s.Strips {
		t.add(strip)
	}
	s.Cut, s.Fill = t.areas()
	s.From, s.To = 0, 0
	if n := len(s.Formation); n > 0 {
		s.From, s.To = s.Formation[0].From, s.Formation[0].To
		for _, f := range s.Formation {
			s.To = max(s.To, f.To)
		}
	}
}

// DepthAt returns ground, less topsoil, less formation at an offset: cut where
// positive. It reports false where there are no works or no ground. At an upright
// step it is the depth to the right.
func (s *Section) DepthAt(offset float64) (depth float64, ok bool) {
	for i, strip := range s.Strips {
		last := i+1 == len(s.Strips) || s.Strips[i+1].From > strip.To
		if offset < strip.From || offset > strip.To || offset == strip.To && !last {
			continue
		}
		d, e := strip.depths()
		return d + float64((e-d)*((offset-strip.From)/(strip.To-strip.From))), true
	}
	return 0, false
}

// GroundAt returns the level of the existing ground at an offset, metres, and false
// where there is none or the section does not show it.
func (s *Section) GroundAt(offset float64) (level float64, ok bool) {
	return levelAt(s.Ground, offset)
}

// FormationAt returns the level of the formation at an offset, metres, and false
// where there are no works.
func (s *Section) FormationAt(offset float64) (level float64, ok bool) {
	return levelAt(s.Formation, offset)
}

// levelAt returns the level of the last stretch that holds an offset.
func levelAt(stretches []Stretch, offset float64) (level float64, ok bool) {
	for _, s := range stretches {
		if offset >= s.From && offset <= s.To {
			level, ok = s.LevelAt(offset), true
		}
	}
	return level, ok
}

// End returns what volumes need of a section: its areas square to the alignment. An
// area on a bisector is the square one divided by the cosine of its turn, and so are
// its offsets.
func (s *Section) End() End {
	square := 1 / secant(s.Skew)
	return End{Chainage: s.Chainage, Cut: s.Cut.scaled(square), Fill: s.Fill.scaled(square)}
}
