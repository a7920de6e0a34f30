package uncertainty

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"
)

const (
	// mostElements is how many elements are paired one with all; of more, as many
	// are drawn.
	mostElements = 700
	// nearBy is within how many times the mean width of an element those drawn are
	// paired with all.
	nearBy = 4
)

// drawn is an element with how many it stands for.
type drawn struct {
	*element
	times float64
}

// sample returns all elements if they are few; else some drawn by area, with
// replacement and a seed of their own.
func sample(list []element) (out []drawn, all bool) {
	if len(list) <= mostElements {
		for i := range list {
			out = append(out, drawn{&list[i], 1})
		}
		return out, true
	}
	upTo := make([]float64, len(list))
	total := 0.0
	for i := range list {
		total += list[i].area
		upTo[i] = total
	}
	rng := rand.New(rand.NewPCG(95, 3))
	for i := range mostElements { // one from each of as many equal shares of the area
		at := (float64(i) + rng.Float64()) / mostElements * total
		k, _ := slices.BinarySearch(upTo, at)
		e := &list[min(k, len(list)-1)]
		out = append(out, drawn{e, total / e.area / mostElements})
	}
	return out, false
}

// extension returns the covariance of cut and fill that the ground between spots
// gives.
func (k *kernel) extension(list []element) Covariance {
	some, all := sample(list)
	var c Covariance
	add := func(e, f *element, times float64) {
		for i, row := range k.pair(e, f) {
			for j, v := range row {
				c[i][j] += float64(times * v)
			}
		}
	}
	if all {
		for i := range list {
			add(&list[i], &list[i], 1)
			for j := range i {
				add(&list[i], &list[j], 2) // its other half by symmetry
			}
		}
		return c.symmetric()
	}
	area := 0.0
	for i := range list {
		area += list[i].area
	}
	reach := nearBy * math.Sqrt(area/float64(len(list)))
	grid := newGrid(list, reach)
	for _, e := range some {
		grid.near(e.centre, func(f *element) {
			if isNear(e.element, f, reach) {
				add(e.element, f, e.times)
			}
		})
	}
	spare := float64(len(some)) / float64(len(some)-1) // no draw is paired with itself
	for i, e := range some {
		for j, f := range some {
			if i != j && !isNear(e.element, f.element, reach) {
				add(e.element, f.element, e.times*f.times*spare)
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
	cell  map[[2]int][]*element
}

func newGrid(list []element, reach float64) grid {
	g := grid{reach, make(map[[2]int][]*element)}
	for i := range list {
		at := g.at(list[i].centre)
		g.cell[at] = append(g.cell[at], &list[i])
	}
	return g
}

func (g grid) at(p orb.Point) [2]int {
	return [2]int{int(math.Floor(p[0] / g.reach)), int(math.Floor(p[1] / g.reach))}
}

// near yields all elements of the cells about a place.
func (g grid) near(p orb.Point, yield func(*element)) {
	at := g.at(p)
	for i := at[0] - 1; i <= at[0]+1; i++ {
		for j := at[1] - 1; j <= at[1]+1; j++ {
			for _, e := range g.cell[[2]int{i, j}] {
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
