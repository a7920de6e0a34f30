package formation

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// sideTolerance is how far a spot on a side may be off the level between the
// side's corners, metres; as crossing_tolerance of the ground.
const sideTolerance = 0.02

// ownSource gathers what the surface of a pad with its own levels is built
// from, at formation level: every place once, with its level, as a spot; every
// line, the rings too, through those spots and without levels of its own.
type ownSource struct {
	pad    Pad
	opts   Options
	rings  [][]orb.Point
	names  [][]string
	rim    *rim
	points []tin.Point
	labels []string // of the points, for messages
	places map[orb.Point]int
	onSide [][]sidePoint // per side of the rim
}

// sidePoint is a spot on a side of the outline.
type sidePoint struct {
	along float64 // 0 to 1 from side.a
	place orb.Point
}

// ownSurface builds the surface of a pad that carries its own levels. The pad
// is known to be good by Pad.Check.
func ownSurface(pad Pad, rings [][]orb.Point, opts Options) (*tin.Surface, *ownSource, error) {
	names, err := pad.cornerNames(rings)
	if err != nil {
		return nil, nil, err
	}
	s := &ownSource{pad: pad, opts: opts, rings: rings, names: names, rim: newRim(rings), places: make(map[orb.Point]int)}
	s.onSide = make([][]sidePoint, len(s.rim.sides))
	for r, ring := range rings {
		for i, v := range ring {
			corner := tin.Point{E: v[0], N: v[1], Level: pad.Levels.Outline[r][i], Name: "at corner " + names[r][i]}
			label, key := fmt.Sprintf("corner %q", names[r][i]), fmt.Sprintf("levels.outline[%d][%d]", r, i)
			if err := s.add(corner, label, key); err != nil {
				return nil, nil, err
			}
		}
	}
	for i, v := range pad.Levels.Spots {
		label, key := spotName(v, i), fmt.Sprintf("levels.spots[%d]", i)
		if v.Name == "" {
			v.Name = strconv.Itoa(i + 1)
		}
		if _, err := s.addInside(v, label, key); err != nil {
			return nil, nil, err
		}
	}
	lines, err := s.lines()
	if err != nil {
		return nil, nil, err
	}
	source := tin.Source{Points: s.points, Breaklines: append(s.ringLines(s.onSide), lines...)}
	surface, err := tin.Build(context.Background(), []tin.Source{source}, tin.Options{})
	if err != nil {
		err = padError(err, pad.label(), "levels")
		if in, ok := err.(*tin.InputError); ok && strings.Contains(in.Hint, "crossing_tolerance") {
			in.Hint = "correct one of the levels" // a pad's lines have no tolerance of their own to set
		}
		return nil, nil, err
	}
	return surface, s, nil
}

// add takes a point with its finished level at its place.
func (s *ownSource) add(v tin.Point, label, key string) error {
	place := orb.Point{v.E, v.N}
	v.Level = FormationLevel(v.Level, s.pad.Layers)
	i, ok := s.places[place]
	if !ok {
		s.places[place] = len(s.points)
		s.points = append(s.points, v)
		s.labels = append(s.labels, label)
		return nil
	}
	if first := s.points[i]; first.Level != v.Level {
		err := inputError(CodeLevelsDisagree, key, "give one of them, or the same level",
			"%s of %s is at the same place as %s, %s away in level", label, s.pad.label(), s.labels[i], s.opts.length("%.3g", math.Abs(v.Level-first.Level)))
		err.At = &place
		return err
	}
	return nil
}

// addInside takes a spot, or a line's vertex, and returns its place: that of
// the corner it is at, or its own. A point without a level only has its place
// looked at.
func (s *ownSource) addInside(v tin.Point, label, key string) (orb.Point, error) {
	place := orb.Point{v.E, v.N}
	i, along, near := s.rim.near(place)
	switch {
	case !near && !s.rim.holds(place):
		err := inputError(CodeOutsideOutline, key, "leave it out, or move it inside",
			"%s of %s at %s is outside the outline", label, s.pad.label(), s.opts.place(v.E, v.N))
		err.At = &place
		return place, err
	case near && along == 0:
		place = s.rim.sides[i].a
	case near && along == 1:
		place = s.rim.sides[i].b
	}
	if !v.HasLevel() {
		return place, nil
	}
	v.E, v.N = place[0], place[1]
	if _, known := s.places[place]; near && !known {
		side := s.rim.sides[i]
		levels := s.pad.Levels.Outline[side.ring]
		between := levels[side.ia] + float64((levels[side.ib]-levels[side.ia])*along)
		if off := math.Abs(v.Level - between); off > sideTolerance {
			err := inputError(CodeLevelsDisagree, key, "make it a corner of the outline, or mend the level",
				"%s of %s lies on the side between corners %q and %q, %s off the level between them (over %s)",
				label, s.pad.label(), s.names[side.ring][side.ia], s.names[side.ring][side.ib], s.opts.length("%.3f", off), s.opts.length("%.3g", sideTolerance))
			err.At = &place
			return place, err
		}
		s.onSide[i] = append(s.onSide[i], sidePoint{along, place})
	}
	return place, s.add(v, label, key)
}

// lines returns the pad's lines, first those of their vertices that have a
// level, then those that take one.
func (s *ownSource) lines() ([]tin.Breakline, error) {
	lines := make([]tin.Breakline, len(s.pad.Levels.Lines))
	for _, withLevel := range []bool{true, false} {
		for i, l := range s.pad.Levels.Lines {
			if lines[i].Vertices == nil {
				lines[i] = tin.Breakline{Name: cmp.Or(l.Name, fmt.Sprintf("line %d", i+1)), Vertices: make([]tin.Point, len(l.Vertices))}
			}
			for j, v := range l.Vertices {
				if v.HasLevel() != withLevel {
					continue
				}
				key := fmt.Sprintf("levels.lines[%d][%d]", i, j)
				label := fmt.Sprintf("vertex %d of %s", j+1, lineName(l, i))
				v.Name = "at " + label
				place, err := s.addInside(v, label, key)
				if err != nil {
					return nil, err
				}
				if _, known := s.places[place]; !known {
					err := inputError(CodeLevelsIncomplete, key, "give it a level, or put it at a corner or a spot",
						"%s of %s has no level", label, s.pad.label())
					err.At = &place
					return nil, err
				}
				lines[i].Vertices[j] = tin.Point{E: place[0], N: place[1], Level: math.NaN(), Name: v.Name}
			}
		}
	}
	return lines, nil
}

// ringLines returns the rings as closed lines through their corners and points
// on their sides. A spot that the rounding of coordinates put a hair off
// its side so bends the side, and is not lost outside it.
func (s *ownSource) ringLines(onSide [][]sidePoint) []tin.Breakline {
	lines := make([]tin.Breakline, len(s.rings))
	for r := range lines {
		lines[r].Name = ringName(r)
	}
	for i, side := range s.rim.sides {
		if side.a == side.b { // a corner repeated
			continue
		}
		line := &lines[side.ring]
		on := onSide[i]
		forwards := side.ib == (side.ia+1)%len(s.rings[side.ring])
		sortAlong(on, forwards)
		start := side.a
		if !forwards {
			start = side.b
		}
		line.Vertices = append(line.Vertices, lineVertex(start))
		for _, p := range on {
			line.Vertices = append(line.Vertices, lineVertex(p.place))
		}
	}
	for r := range lines {
		lines[r].Vertices = append(lines[r].Vertices, lines[r].Vertices[0])
	}
	return lines
}

// lineVertex is a line's vertex at a spot.
func lineVertex(p orb.Point) tin.Point { return tin.Point{E: p[0], N: p[1], Level: math.NaN()} }
