package formation

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Clearance is a shape that the works must stay inside or outside of, with a
// distance: a property line, a service, a tree.
type Clearance struct {
	Name     string
	Inside   bool                // stay inside Area; else outside of all of the shape
	Area     orb.MultiPolygon    // metres; its parts may touch or overlap
	Lines    orb.MultiLineString // metres; for works that stay outside
	Points   orb.MultiPoint      // metres; likewise
	Distance float64             // metres on the grid, from 0; above 0 for lines and points
}

// Cleared is how the works lie to a clearance.
type Cleared struct {
	Kept    bool
	Least   float64   // least distance of the works from the shape, metres: where they stay inside, from its rim; below 0 they reach across; +Inf without works
	Overlap float64   // metres that the works reach past the clearance's line at most; 0 if it is kept
	At      orb.Point // where the least distance and the greatest overlap are, metres
	Area    float64   // of the works that break it in plan, m2; 0 if it is kept
	Pads    []int     // whose works break it
	Off     bool      // the boxes round the shape and round the works do not meet
}

const (
	leastBreach  = 1e-6 // metres past the line that are rounding
	depthError   = 1e-4 // metres by which a depth within an area may be understated
	roundError   = 1e-3 // metres by which a zone may be too wide where it is round
	greatestStep = math.Pi / 8
	nanometre    = 1e-9 // metres; places nearer than that to a least distance are equal, and the first by (E, N) counts
)

// Check reports as a *tin.InputError, with the key "shape" or "distance", what
// cannot be measured. It knows no unit.
func (c *Clearance) Check() error {
	if !(c.Distance >= 0 && c.Distance <= greatestMargin) {
		return inputError(CodeBadDistance, "distance", "give it from 0, and below 10000", "a distance of %g", c.Distance)
	}
	open := len(c.Lines)+len(c.Points) > 0
	switch {
	case !open && len(c.Area) == 0:
		return inputError(CodeClearanceShape, "shape", "give a polygon, a line or a point", "the shape of the clearance is empty")
	case open && c.Inside:
		return inputError(CodeClearanceShape, "shape", "give a polygon, or stay outside", "the works cannot stay inside a line or a point")
	case open && c.Distance == 0:
		return inputError(CodeClearanceShape, "distance", "say how far the works must stay away", "a line or a point has no inside that works could break without a distance")
	}
	for _, p := range c.Area {
		if err := tin.CheckOutline(p); err != nil {
			return shapeError(err)
		}
	}
	for _, l := range append(slices.Clone(c.Lines), orb.LineString(c.Points)) {
		for _, p := range l {
			if !isFinitePoint(p) {
				return inputError(CodeBadPoint, "shape", "give finite numbers", "a point of the clearance is at (%g, %g)", p[0], p[1])
			}
		}
	}
	for _, l := range c.Lines {
		if len(l) < 2 {
			return inputError(CodeClearanceShape, "shape", "give two or more", "a line with %d places", len(l))
		}
	}
	return nil
}

func shapeError(err error) error {
	in, ok := err.(*tin.InputError)
	if !ok {
		return err
	}
	e := *in
	e.Key = "shape"
	return &e
}

// Clearances measures how the works of a layout lie to clearances: the formation
// within outlines and margins, and the batters of dig (nil: none).
//
// Works break a clearance where they are on the wrong side of its shape or nearer
// to it than its distance. Least and Overlap come from distances, exact but for
// rounding; only a depth on the wrong side of an area may be up to 0.1 mm too
// little. Area is that of the works in the union of convex parts: what is within
// the distance of a side, and round corners as polygons outside of the circle by
// at most 1 mm. Nothing depends on where a shape starts or which way it runs.
//
// Bad clearances are a *tin.InputError with a key such as "clearance[1].shape". If
// ctx ends its error is returned.
func (l *Layout) Clearances(ctx context.Context, ground *tin.Surface, dig *Dig, list []Clearance) ([]Cleared, error) {
	if ground == nil {
		return nil, inputError(CodeNoGround, "", "build a surface first", "there is no ground to measure on")
	}
	if len(list) == 0 {
		return nil, nil
	}
	works := l.worksPieces(ground.Frame(), dig)
	out := make([]Cleared, len(list))
	for i := range list {
		s, err := list[i].shape(ground)
		if err != nil {
			return nil, clearanceError(err, i)
		}
		if out[i], err = s.against(ctx, works, ground.Frame()); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// clearanceError puts the clearance's place in the list before the key.
func clearanceError(err error, i int) error {
	in, ok := err.(*tin.InputError)
	if !ok {
		return err
	}
	e := *in
	e.Key = fmt.Sprintf("clearance[%d].%s", i, e.Key)
	return &e
}

// worksPieces returns the works of each pad as convex polygons, anticlockwise, in
// local units.
func (l *Layout) worksPieces(frame tin.Frame, dig *Dig) [][]polygon {
	works := make([][]polygon, len(l.Pads))
	for i := range l.Pads {
		for _, facets := range [][]tin.Facet{l.Pads[i].Facets, l.Pads[i].Margin} {
			for _, f := range facets {
				p := make(polygon, len(f.Cell.Corner))
				for k, c := range f.Cell.Corner {
					p[k][0], p[k][1] = frame.Local(c)
				}
				works[i] = append(works[i], p)
			}
		}
		if dig == nil {
			continue
		}
		for _, f := range dig.Pads[i].Faces {
			p := make(polygon, len(f.Corner))
			for k, c := range f.Corner {
				p[k] = orb.Point{c.X, c.Y}
			}
			works[i] = append(works[i], p)
		}
	}
	return works
}

// against measures the works of all pads.
func (s *clearShape) against(ctx context.Context, works [][]polygon, frame tin.Frame) (Cleared, error) {
	out := Cleared{Kept: true}
	all := newNearest(s.unit)
	var area tin.Sum
	var box orb.Bound
	pieces := 0
	for i, list := range works {
		m := clearing{ctx: ctx, shape: s, nearest: newNearest(s.unit)}
		for _, p := range list {
			if pieces++; pieces == 1 {
				box = p.bound()
			}
			box = box.Union(p.bound())
			m.piece(p)
		}
		if m.err != nil {
			return out, m.err
		}
		all.take(m.least, m.at)
		if s.overlap(m.least) > 0 {
			out.Kept = false
			out.Pads = append(out.Pads, i)
			area.Add(m.area.Value())
		}
	}
	out.Least, out.Overlap = all.least*frame.Length(), s.overlap(all.least)*frame.Length()
	out.Area = area.Value() * frame.Area()
	out.Off = pieces > 0 && !box.Intersects(s.box)
	if pieces > 0 {
		out.At = frame.Metres(all.at[0], all.at[1])
	}
	return out, nil
}
