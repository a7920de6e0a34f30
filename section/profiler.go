package section

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Stretch is a straight part of a profile.
type Stretch struct {
	From, To     float64 // offsets, metres; From < To
	Level, Slope float64 // level at From, metres, and rise per metre of offset
	Topsoil      float64 // metres taken off the ground here before it is measured
}

// LevelAt returns the level at an offset, metres; beyond the ends the stretch goes on.
func (s Stretch) LevelAt(offset float64) float64 {
	return s.Level + float64(s.Slope*(offset-s.From))
}

// between returns the stretch between two places.
func between(from, level, to, levelTo float64) Stretch {
	return Stretch{From: from, To: to, Level: level, Slope: (levelTo - level) / (to - from)}
}

// Side says on which side of a section a place counts that lies on it: an upright
// face across the alignment belongs to one or the other.
type Side int

// The two sides of a section.
const (
	Ahead  Side = iota // what lies at greater chainages
	Behind             // what lies at lesser chainages
)

// Profiler is a formation: what a vertical cut meets of it.
type Profiler interface {
	// Profile returns the stretches along the straight line between two places in
	// metres, in order, by their distance from the first. Where there are no works
	// there is no stretch. What ends on the line itself counts if it lies on the
	// side asked for; ahead is left of the line. The places may be anywhere.
	Profile(from, to orb.Point, side Side) ([]Stretch, error)
	// Bound returns a box round the works, metres.
	Bound() orb.Bound
}

// Surface returns the formation that a surface is: works are wherever it has a
// level, against ground less so many metres of topsoil.
func Surface(s *tin.Surface, topsoil float64) Profiler { return surface{s, topsoil} }

type surface struct {
	*tin.Surface
	topsoil float64
}

// aside is how far beside a section, in metres, it is seen on which side of it a
// surface ends.
const aside = 1e-6

func (s surface) Profile(from, to orb.Point, side Side) ([]Stretch, error) {
	on, err := stretches(s.Surface, from, to)
	if err != nil || len(on) == 0 {
		return nil, err
	}
	length := distance(from, to)
	step := aside / length
	if side == Behind {
		step = -step
	}
	u := sub(to, from)
	move := func(p orb.Point) orb.Point { return orb.Point{p[0] - float64(step*u[1]), p[1] + float64(step*u[0])} }
	beside, err := stretches(s.Surface, move(from), move(to))
	if err != nil {
		return nil, err
	}
	kept := on[:0]
	for _, st := range on {
		middle := (st.From + st.To) / 2
		for len(beside) > 0 && beside[0].To < middle {
			beside = beside[1:]
		}
		if len(beside) > 0 && beside[0].From <= middle {
			st.Topsoil = s.topsoil
			kept = append(kept, st)
		}
	}
	return kept, nil
}

// stretches returns the profile of a surface between two places.
func stretches(s *tin.Surface, from, to orb.Point) ([]Stretch, error) {
	stations, err := s.Profile(orb.LineString{from, to})
	if err != nil {
		return nil, err
	}
	out := make([]Stretch, 0, len(stations)-1)
	for i := range len(stations) - 1 {
		a, b := stations[i], stations[i+1]
		if a.Ground && b.Chainage > a.Chainage && !math.IsNaN(a.Level) && !math.IsNaN(b.Level) {
			out = append(out, between(a.Chainage, a.Level, b.Chainage, b.Level))
		}
	}
	return out, nil
}
