package takeoff

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/tin/pointfile"
	"barrow/tin/setout"
)

// Why a shot is held against nothing.
const (
	BesideNoLevel    = "no level"
	BesideOutside    = "outside the works"
	BesideBatter     = "on a batter"
	BesideMargin     = "on the margin, where the layer does not reach"
	BesideThickening = "in a thickening"
	BesidePad        = "on a pad that is not looked at"
)

// nearRim is how far outside of a pad a shot still counts as on it, metres on the grid: a
// peg at a corner is shot back a little off. Judgement, no source.
const nearRim = 0.010

// sort gives each shot to the pad that it is on.
func (c *conforming) sort() error {
	s := c.opts.Shots
	shift := 0.0
	if b := s.Benchmark; b != nil {
		shift = addLevels(b.Plan, -b.Measured)
	}
	held := 0
	for i := range s.Points {
		if i%256 == 0 && c.ctx.Err() != nil {
			return c.ctx.Err()
		}
		shot := &s.Points[i]
		at := orb.Point{shot.E * c.unit, shot.N * c.unit}
		pad, why := c.padUnder(at)
		if !finite(shot.Level) {
			pad, why = nil, BesideNoLevel
		}
		if pad == nil {
			c.beside = append(c.beside, BesideShot{shot.Name, int(shot.Line), Place{shot.E, shot.N}, why})
			continue
		}
		level := shot.Level
		if s.Benchmark != nil {
			level = addLevels(level, shift)
		}
		held++
		pad.points, pad.measured = append(pad.points, shot), append(pad.measured, level)
		pad.shots = append(pad.shots, setout.Shot{E: at[0], N: at[1], Level: level})
	}
	if held == 0 {
		return c.noneHeld()
	}
	return nil
}

// noneHeld is the error of shots none of which is on the work.
func (c *conforming) noneHeld() error {
	s := c.opts.Shots
	hint := "check their coordinates, their unit, the order of columns, and which pad they are of"
	if swap, ok := pointfile.Swapped(s.Points, c.job.outlineBound()); ok {
		hint = swap.Message + ": state the order with columns"
	}
	why := ""
	if len(c.beside) > 0 {
		why = fmt.Sprintf(": the first is %s", c.beside[0].Why)
	}
	return &tin.InputError{Code: codeShotsOffWorks, Key: "check_shots", File: s.Name,
		Message: fmt.Sprintf("none of the %d shots can be held against the work%s", len(s.Points), why), Hint: hint}
}

// padUnder returns the pad looked at that a place is on, or why there is none.
func (c *conforming) padUnder(at orb.Point) (pad *conformPad, why string) {
	best, margin := nearRim, false
	for i := range c.pads {
		p := &c.pads[i]
		if d := distanceFrom(at, p.target.on); d < best || d == 0 { // on the line of two pads the later rules
			best, pad, margin = d, p, false
		}
		if d := distanceFrom(at, p.target.margin); d < best {
			best, pad, margin = d, p, true
		}
	}
	switch {
	case margin:
		return nil, BesideMargin
	case pad != nil && best > 0 && c.otherPad(at):
		return nil, BesidePad
	case pad != nil && c.formation(pad) && c.inThickening(pad.index, at):
		return nil, BesideThickening
	case pad != nil:
		return pad, ""
	case c.otherPad(at):
		return nil, BesidePad
	case planar.MultiPolygonContains(c.dig.Outline, at):
		return nil, BesideBatter
	}
	return nil, BesideOutside
}

// otherPad reports whether a place is on a pad that is not looked at.
func (c *conforming) otherPad(at orb.Point) bool {
	for _, other := range c.others {
		if distanceFrom(at, other) == 0 {
			return true
		}
	}
	return false
}

// inThickening reports whether a place is where a thickening is dug.
func (c *conforming) inThickening(pad int, at orb.Point) bool {
	frame := c.ground.Frame()
	for _, t := range c.thick[pad] {
		for _, pieces := range [][]tin.FacePiece{t.Pieces, t.Batter} {
			for _, p := range pieces {
				var corners orb.Ring
				for _, f := range p.Corner {
					corners = append(corners, frame.Metres(f.X, f.Y))
				}
				if distanceFromConvex(at, corners) == 0 {
					return true
				}
			}
		}
	}
	return false
}

// distanceFrom returns how far a place is from facets in plan, if that is less than
// nearRim; 0 on one, else +Inf.
func distanceFrom(at orb.Point, facets *formation.FacetFinder) float64 {
	least := math.Inf(1)
	for _, f := range facets.Near(at, nearRim) {
		if least = min(least, distanceFromConvex(at, f.Cell.Corner[:])); least == 0 {
			break
		}
	}
	return least
}

// distanceFromConvex returns how far a place is from a convex polygon, anticlockwise; 0 in
// it. It is rounded: what lies on a side may be a rounding off it.
func distanceFromConvex(at orb.Point, corners []orb.Point) float64 {
	inside, least := true, math.Inf(1)
	for i, p := range corners {
		q := corners[(i+1)%len(corners)]
		if float64((q[0]-p[0])*(at[1]-p[1]))-float64((q[1]-p[1])*(at[0]-p[0])) < 0 {
			inside = false
		}
		least = min(least, planar.DistanceFromSegment(p, q, at))
	}
	if inside {
		return 0
	}
	return least
}
