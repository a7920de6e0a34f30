package formation

// Layer is one layer of a build-up.
type Layer struct {
	Name      string
	Thickness float64 // metres, above 0
}

// BuildUp is the layers between the finished level and the formation, from the
// top down: the top of the first layer is the finished level, the underside of
// the last the formation. A floor finish is a layer like any other.
type BuildUp []Layer

// Thickness returns the sum of the layers' thicknesses in metres, as the double
// nearest to the decimal sum (see [BuildUp.Ladder]).
func (b BuildUp) Thickness() float64 {
	var s levelSum
	for _, l := range b {
		s.add(l.Thickness)
	}
	return s.value()
}

// Rung is a layer with its levels.
type Rung struct {
	Layer
	Top, Underside float64 // levels, metres
}

// Ladder returns the layers with their levels below a finished level in metres.
// The last underside is the formation level.
//
// Where the finished level and the thicknesses are decimals of at most nine
// places (and below 1000 km), each level is the double nearest to the exact
// decimal: 63.15 less 0.175 and 0.05 is 62.925 and prints so. Other numbers are
// added with compensation. The thicknesses are not checked here; [Pad.Check]
// does that.
func (b BuildUp) Ladder(finished float64) []Rung {
	if len(b) == 0 {
		return nil
	}
	rungs := make([]Rung, len(b))
	top := finished
	var s levelSum
	s.add(finished)
	for i, l := range b {
		s.add(-l.Thickness)
		rungs[i] = Rung{Layer: l, Top: top, Underside: s.value()}
		top = rungs[i].Underside
	}
	return rungs
}

// FormationLevel returns the finished level less the build-up, in metres,
// rounded as [BuildUp.Ladder] says.
func FormationLevel(finished float64, b BuildUp) float64 {
	var s levelSum
	s.add(finished)
	for _, l := range b {
		s.add(-l.Thickness)
	}
	return s.value()
}
