package takeoff

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
	"barrow/tin/formation"
)

// cutFace is a slope that stands in cut round a pad, or along a thickening below its
// formation.
type cutFace struct {
	pad        int
	thickening int     // its index; -1: round the formation outline
	along      float64 // n in 1V:nH, on the ground; 0: upright
	depth      float64 // greatest, metres: at the formation outline, or of the thickening
	above      float64 // of depth, what is above the formation of a thickening
	at         orb.Point
}

// findFaces finds the faces that stand in cut, one for each slope of a pad: the sides of
// formation outlines along which the ground, as it is, lies above the formation, and the
// sides of thickenings.
func (r *run) findFaces() error {
	for k := range r.layout.Outlines {
		for _, ring := range r.layout.Outlines[k].Rings {
			for i, c := range ring {
				if err := r.addSide(&c, &ring[(i+1)%len(ring)]); err != nil {
					return err
				}
			}
		}
	}
	for i := range r.thick {
		for k := range r.thick[i] {
			r.addThickening(i, k)
		}
	}
	slices.SortStableFunc(r.cutFaces, func(a, b cutFace) int {
		return cmp.Or(cmp.Compare(a.pad, b.pad), cmp.Compare(a.thickening, b.thickening), cmp.Compare(a.along, b.along))
	})
	return nil
}

// addSide looks along a side of a formation outline.
func (r *run) addSide(from, to *formation.RimCorner) error {
	line := orb.LineString{{from.E, from.N}, {to.E, to.N}}
	if line[0] == line[1] {
		return nil
	}
	stations, err := r.ground.Profile(line)
	if err != nil {
		return err
	}
	length := math.Hypot(to.E-from.E, to.N-from.N)
	face := cutFace{pad: from.Pad, thickening: -1, along: nearDecimal(from.Cut.Along / r.scale)}
	for _, s := range stations {
		level := from.Level + float64(s.Chainage/length*(to.Level-from.Level))
		face.see(s.Level-level, orb.Point{s.E, s.N})
	}
	r.addFace(face)
	return nil
}

// addThickening looks at how deep a thickening goes: below formation or, at the foot of an
// upright face, below the top of that, since the two stand over each other.
func (r *run) addThickening(pad, k int) {
	face := cutFace{pad: pad, thickening: k, along: r.job.Pads[pad].Thickenings[k].Along}
	frame := r.ground.Frame()
	for _, pieces := range [][]tin.FacePiece{r.thick[pad][k].Pieces, r.thick[pad][k].Batter} {
		for _, p := range pieces {
			for _, c := range p.Corner {
				at, below := frame.Metres(c.X, c.Y), c.Ground-c.Face
				above := 0.0
				if below > leastFace {
					above = max(0, r.groundBeside(at, below)-c.Ground)
				}
				face.see(below+above, at)
				if face.at == at && face.depth == below+above {
					face.above = above
				}
			}
		}
	}
	r.addFace(face)
}

// groundBeside returns the highest ground, as it is, on the upright sides of formation
// outlines that are no farther from a place than so many metres in plan, as far as the
// thickening there is deep (judgement, no source); -Inf where there is none.
func (r *run) groundBeside(at orb.Point, within float64) float64 {
	highest := math.Inf(-1)
	for k := range r.layout.Outlines {
		for _, ring := range r.layout.Outlines[k].Rings {
			for i, from := range ring {
				to := &ring[(i+1)%len(ring)]
				if from.Cut.Along > 0 {
					continue
				}
				foot := nearestOn(orb.Point{from.E, from.N}, orb.Point{to.E, to.N}, at)
				if planar.Distance(foot, at) > within {
					continue
				}
				if level, ok := r.ground.LevelAt(foot[0], foot[1]); ok {
					highest = max(highest, level)
				}
			}
		}
	}
	return highest
}

// nearestOn returns the place from a to b that is nearest to another.
func nearestOn(a, b, at orb.Point) orb.Point {
	u := orb.Point{b[0] - a[0], b[1] - a[1]}
	square := float64(u[0]*u[0]) + float64(u[1]*u[1])
	if square == 0 {
		return a
	}
	k := (float64((at[0]-a[0])*u[0]) + float64((at[1]-a[1])*u[1])) / square
	k = min(max(k, 0), 1)
	return orb.Point{a[0] + float64(k*u[0]), a[1] + float64(k*u[1])}
}

// see takes the greater depth, of equals the first by place; NaN is none.
func (f *cutFace) see(depth float64, at orb.Point) {
	if depth > f.depth || depth == f.depth && depth > 0 && Place(at).before(Place(f.at)) {
		f.depth, f.at = depth, at
	}
}

// leastFace is a face not worth a word, metres: a rounding of levels.
const leastFace = 1e-6

// addFace adds a face to that of the same slope.
func (r *run) addFace(f cutFace) {
	if !(f.depth > leastFace) {
		return
	}
	for i := range r.cutFaces {
		if g := &r.cutFaces[i]; g.pad == f.pad && g.thickening == f.thickening && g.along == f.along {
			g.see(f.depth, f.at)
			return
		}
	}
	r.cutFaces = append(r.cutFaces, f)
}

// nearDecimal takes off what a factor and back has left of a number.
func nearDecimal(x float64) float64 { return math.Round(x*1e9) / 1e9 }
