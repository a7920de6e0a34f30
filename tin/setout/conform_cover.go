package setout

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/quadtree"

	"barrow/tin"
)

// Cover is what shots must cover for a verdict on an area: at least FewestShots of them,
// one for each PerShot of the area, and no place of the area farther than Reach from one.
// The zero value asks for nothing but FewestShots.
type Cover struct {
	Area    [][3]orb.Point // triangles in plan that do not overlap
	PerShot float64        // area; 0: any
	Reach   float64        // distance in plan; 0: any
}

// FewestShots is the least number of shots that any verdict is given on: four corners and
// the middle. Judgement, no source.
const FewestShots = 5

// Coverage is how shots cover an area.
type Coverage struct {
	Area   float64 // in plan
	Needed int     // the least number of shots for it
	Have   int
	// Gap is the greatest distance from a place of the area to the nearest shot, of
	// places Step apart and the corners of the area's triangles; +Inf without shots.
	Gap, Step float64
	// Missing is how many more shots are needed, and Places where to take them: each
	// farthest from all before it. Places ends after MostPlaces, and Missing is then the
	// least that it can be.
	Missing int
	Places  []FarPlace
}

// FarPlace is a place of the area, and how far it is from the shots and from the places
// before it in the list; +Inf where there is none.
type FarPlace struct {
	At       orb.Point
	Distance float64
}

// MostPlaces is how many places without a shot are named at most.
const MostPlaces = 100

// mostSamples is about how many places of an area are looked at.
const mostSamples = 20_000

// Enough reports whether no more shots are needed.
func (c *Coverage) Enough() bool { return c.Missing == 0 }

// places returns the places of the shots that a level was asked of.
func (c *Conformance) places(shots []Shot) []orb.Point {
	out := make([]orb.Point, len(c.Deviations))
	for i, d := range c.Deviations {
		out[i] = orb.Point{shots[d.Shot].E, shots[d.Shot].N}
	}
	return out
}

// by says how shots at these places cover the area.
func (c *Cover) by(shots []orb.Point) (Coverage, error) {
	out := Coverage{Area: c.area(), Needed: FewestShots, Have: len(shots), Gap: math.Inf(1)}
	if c.PerShot > 0 {
		out.Needed = max(out.Needed, int(math.Ceil(nano(out.Area/c.PerShot))))
	}
	out.Step = math.Sqrt(out.Area / mostSamples)
	if c.Reach > 0 {
		out.Step = max(out.Step, c.Reach/20)
	}
	samples := c.samples(out.Step)
	if len(samples) == 0 {
		out.Missing = max(out.Needed-out.Have, 0)
		return out, nil
	}
	far, err := distances(samples, shots)
	if err != nil {
		return out, err
	}
	next := farthestSample(samples, far)
	out.Gap = far[next]
	lacks := func() bool {
		return out.Have+len(out.Places) < out.Needed || c.Reach > 0 && far[next] > c.Reach
	}
	for lacks() && len(out.Places) < MostPlaces {
		at := samples[next]
		out.Places = append(out.Places, FarPlace{at, far[next]})
		for i, s := range samples {
			far[i] = min(far[i], math.Hypot(s[0]-at[0], s[1]-at[1]))
		}
		next = farthestSample(samples, far)
	}
	out.Missing = max(len(out.Places), out.Needed-out.Have)
	return out, nil
}

// area returns the area of the triangles.
func (c *Cover) area() float64 {
	var sum tin.Sum
	for _, t := range c.Area {
		u, v := vector(t[0], t[1]), vector(t[0], t[2])
		sum.Add(math.Abs(float64(u[0]*v[1])-float64(u[1]*v[0])) / 2)
	}
	return sum.Value()
}

func vector(from, to orb.Point) orb.Point { return orb.Point{to[0] - from[0], to[1] - from[1]} }

// samples returns places of the area: the corners of its triangles, and a grid.
func (c *Cover) samples(step float64) []orb.Point {
	if len(c.Area) == 0 {
		return nil
	}
	origin := c.Area[0][0]
	for _, t := range c.Area {
		for _, p := range t {
			origin = orb.Point{min(origin[0], p[0]), min(origin[1], p[1])}
		}
	}
	var out []orb.Point
	for _, t := range c.Area {
		out = append(out, t[:]...)
		box := orb.MultiPoint(t[:]).Bound()
		if !(step > 0) {
			continue
		}
		first := func(k int) float64 { return math.Ceil((box.Min[k] - origin[k]) / step) }
		for i := first(0); origin[0]+float64(i*step) <= box.Max[0]; i++ {
			for j := first(1); origin[1]+float64(j*step) <= box.Max[1]; j++ {
				if p := (orb.Point{origin[0] + float64(i*step), origin[1] + float64(j*step)}); inTriangle(p, t) {
					out = append(out, p)
				}
			}
		}
	}
	slices.SortFunc(out, byPlace)
	return slices.Compact(out)
}

func byPlace(p, q orb.Point) int { return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1])) }

// inTriangle reports whether a place is in a triangle, to rounding.
func inTriangle(p orb.Point, t [3]orb.Point) bool {
	var left, right bool
	for i := range t {
		u, v := vector(t[i], t[(i+1)%3]), vector(t[i], p)
		side := float64(u[0]*v[1]) - float64(u[1]*v[0])
		left, right = left || side > 0, right || side < 0
	}
	return !(left && right)
}

// distances returns how far each sample is from the nearest shot; without one as if they
// lay round a shot at infinity.
func distances(samples, shots []orb.Point) ([]float64, error) {
	far := make([]float64, len(samples))
	if len(shots) == 0 {
		for i := range far {
			far[i] = math.Inf(1)
		}
		return far, nil
	}
	shots = slices.Clone(shots)
	slices.SortFunc(shots, byPlace)
	shots = slices.Compact(shots)
	tree := quadtree.New(orb.MultiPoint(shots).Bound())
	for _, s := range shots {
		if err := tree.Add(s); err != nil {
			return nil, fmt.Errorf("setout: a shot outside the box of all: %w", err)
		}
	}
	for i, p := range samples {
		s := tree.Find(p).Point()
		far[i] = math.Hypot(p[0]-s[0], p[1]-s[1])
	}
	return far, nil
}

// farthestSample returns the sample farthest from all shots: of several the first by easting,
// then northing; without shots, the one nearest to the middle of all.
func farthestSample(samples []orb.Point, far []float64) int {
	best := 0
	if math.IsInf(far[0], 1) {
		middle := orb.MultiPoint(samples).Bound().Center()
		off := func(i int) float64 { return math.Hypot(samples[i][0]-middle[0], samples[i][1]-middle[1]) }
		for i := range samples {
			if off(i) < off(best) {
				best = i
			}
		}
		return best
	}
	for i := range samples {
		if far[i] > far[best] {
			best = i
		}
	}
	return best
}
