package uncertainty

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume"
)

const (
	// mostElements is how many elements are paired one with all; of more, as many
	// are drawn.
	mostElements = 700
	// mostPatches is of how many patches all elements are made.
	mostPatches = 50_000
	// nearBy is within how many times the mean width of an element those drawn are
	// paired with all.
	nearBy = 4
)

// sampled is works as elements, of which those drawn stand for others too.
type sampled struct {
	elements []element
	drawn    []drawn
	all      bool // elements are all there are, each drawn once
	reach    float64
}

// drawn is an element with how many it stands for.
type drawn struct {
	*element
	times float64
}

// newSampled makes the elements of works, all of them if they are few. Of more, some
// are drawn, with replacement and a seed of their own, and made with those near them.
func newSampled(ground *tin.Surface, patches []volume.Patch) *sampled {
	length := ground.Frame().Length()
	areas := make(map[int]float64) // of the works in each triangle
	total := 0.0
	for i := range patches {
		a := areaOf(&patches[i], length)
		areas[patches[i].Triangle] += a
		total += a
	}
	s := &sampled{reach: nearBy * math.Sqrt(total/float64(len(areas)))}
	var triangles []int
	var times []float64
	if len(areas) > mostElements {
		triangles, times = draw(areas)
	}
	if len(patches) > mostPatches && triangles != nil {
		patches = about(patches, triangles, s.reach/length)
	}
	s.elements = elementsOf(ground, patches, math.Sqrt(total/pointsOfWorks))
	for i, t := range triangles {
		k, _ := slices.BinarySearchFunc(s.elements, t, func(e element, t int) int { return cmp.Compare(e.triangle, t) })
		s.drawn = append(s.drawn, drawn{&s.elements[k], times[i]})
	}
	if triangles == nil {
		s.all = true
		for i := range s.elements {
			s.drawn = append(s.drawn, drawn{&s.elements[i], 1})
		}
	}
	return s
}

// draw draws mostElements triangles from those with works and says how many each
// stands for: one from each of as many equal shares of a weight, which is the area to
// the power 3/2, between what the area and what the variance of an element goes by.
func draw(areas map[int]float64) (triangles []int, times []float64) {
	type item struct {
		triangle int
		weight   float64
	}
	list := make([]item, 0, len(areas))
	for t, a := range areas {
		list = append(list, item{t, a * math.Sqrt(a)})
	}
	slices.SortFunc(list, func(a, b item) int { return cmp.Compare(a.triangle, b.triangle) })
	total := 0.0
	for _, i := range list {
		total += i.weight
	}
	rng := rand.New(rand.NewPCG(95, 3))
	upTo, next := 0.0, rng.Float64()/mostElements*total
	for _, i := range list {
		for upTo += i.weight; next < upTo && len(triangles) < mostElements; {
			triangles = append(triangles, i.triangle)
			times = append(times, total/i.weight/mostElements)
			next = (float64(len(triangles)) + rng.Float64()) / mostElements * total
		}
	}
	return triangles, times
}

// about returns the patches in triangles, and those within reach of them, local units.
func about(patches []volume.Patch, triangles []int, reach float64) (near []volume.Patch) {
	chosen := make(map[int]bool, len(triangles))
	for _, t := range triangles {
		chosen[t] = true
	}
	cell := func(p *volume.Patch) [2]int64 {
		return [2]int64{int64(math.Floor(p.Corner[0].X / reach)), int64(math.Floor(p.Corner[0].Y / reach))}
	}
	cells := make(map[[2]int64]bool)
	for i := range patches {
		if !chosen[patches[i].Triangle] {
			continue
		}
		at := cell(&patches[i])
		for x := at[0] - 2; x <= at[0]+2; x++ { // a corner may lie a cell beyond its triangle's middle
			for y := at[1] - 2; y <= at[1]+2; y++ {
				cells[[2]int64{x, y}] = true
			}
		}
	}
	for i := range patches {
		if chosen[patches[i].Triangle] || cells[cell(&patches[i])] {
			near = append(near, patches[i])
		}
	}
	return near
}

// areaOf is the area of a patch, m2.
func areaOf(p *volume.Patch, length float64) (area float64) {
	for t := range parts(p, length) {
		area += t.area
	}
	return area
}

// extension returns the covariance of cut and fill that the ground between spots
// gives: the sum over all pairs of elements. Where only some are drawn, each of them is
// paired with all near it, and with those drawn farther off.
func (k *kernel) extension(s *sampled) Covariance {
	var c Covariance
	add := func(e, f *element, times float64) {
		for i, row := range k.pair(e, f) {
			for j, v := range row {
				c[i][j] += float64(times * v)
			}
		}
	}
	if s.all {
		for i := range s.elements {
			add(&s.elements[i], &s.elements[i], 1)
			for j := range i {
				add(&s.elements[i], &s.elements[j], 2) // its other half by symmetry
			}
		}
		return c.symmetric()
	}
	grid := newGrid(s.elements, s.reach)
	for _, e := range s.drawn {
		grid.near(e.centre, func(f *element) {
			if isNear(e.element, f, s.reach) {
				add(e.element, f, e.times)
			}
		})
	}
	spare := float64(len(s.drawn)) / float64(len(s.drawn)-1) // no draw is paired with itself
	for i, e := range s.drawn {
		for _, f := range s.drawn[:i] {
			if !isNear(e.element, f.element, s.reach) {
				add(e.element, f.element, 2*e.times*f.times*spare)
			}
		}
	}
	return c.symmetric()
}

// symmetric takes the mean of what rounding and drawing made unequal, and keeps
// variances from below nothing.
func (c Covariance) symmetric() Covariance {
	m := c[0][1]/2 + c[1][0]/2
	c[0][0], c[1][1] = max(0, c[0][0]), max(0, c[1][1])
	most := math.Sqrt(c[0][0] * c[1][1])
	m = max(-most, min(m, most))
	c[0][1], c[1][0] = m, m
	return c
}

func isNear(e, f *element, reach float64) bool {
	dx, dy := e.centre[0]-f.centre[0], e.centre[1]-f.centre[1]
	return float64(dx*dx)+float64(dy*dy) <= reach*reach
}

// grid finds elements near a place: cells as wide as the reach.
type grid struct {
	reach float64
	cell  map[[2]int64][]*element
}

func newGrid(list []element, reach float64) grid {
	g := grid{reach, make(map[[2]int64][]*element)}
	for i := range list {
		at := g.at(list[i].centre)
		g.cell[at] = append(g.cell[at], &list[i])
	}
	return g
}

func (g grid) at(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Floor(p[0] / g.reach)), int64(math.Floor(p[1] / g.reach))}
}

// near yields all elements of the cells about a place.
func (g grid) near(p orb.Point, yield func(*element)) {
	at := g.at(p)
	for i := at[0] - 1; i <= at[0]+1; i++ {
		for j := at[1] - 1; j <= at[1]+1; j++ {
			for _, e := range g.cell[[2]int64{i, j}] {
				yield(e)
			}
		}
	}
}

// largest returns the elements of the greatest area, of equal ones the first.
func largest(list []element, n int) []*element {
	out := make([]*element, len(list))
	for i := range list {
		out[i] = &list[i]
	}
	slices.SortStableFunc(out, func(a, b *element) int { return cmp.Compare(b.area, a.area) })
	return out[:min(n, len(out))]
}
