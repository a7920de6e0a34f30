package pointfile

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// apart is the part of a file that lies far from the rest.
type apart struct {
	out  []bool    // by point; nil if there is none
	rest orb.Bound // of the others
}

// findApart sets apart what lies beyond wide empty strips across the file, again
// and again, until no strip is wide enough.
func findApart(points []tin.Point) apart {
	a := apart{rest: boundOf(points)}
	for a.cut(points) {
	}
	return a
}

// cut looks for a box, bounded along easting, northing or both, that holds half
// of the points left or more and has empty strips beside it wide enough to set
// the others apart.
func (a *apart) cut(points []tin.Point) bool {
	along := [2][]stretch{a.stretches(points, 0), a.stretches(points, 1)}
	for _, e := range along[0] {
		for _, n := range along[1] {
			box, kept, left := a.inside(points, e, n)
			extent := max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
			if left < fewest || kept < 3 || kept == left || 2*kept < left || !(extent > 0) || !(min(e.gap, n.gap) > apartRatio*extent) {
				continue
			}
			if a.out == nil {
				a.out = make([]bool, len(points))
			}
			for i, p := range points {
				a.out[i] = a.out[i] || !e.holds(p.E) || !n.holds(p.N)
			}
			a.rest = box
			return true
		}
	}
	return false
}

// inside counts the points that are not set apart, and those of them within two
// stretches, whose box it returns.
func (a *apart) inside(points []tin.Point, e, n stretch) (box orb.Bound, kept, left int) {
	for i, p := range points {
		if a.isOut(i) {
			continue
		}
		left++
		if !e.holds(p.E) || !n.holds(p.N) {
			continue
		}
		q := orb.Point{p.E, p.N}
		if kept++; kept == 1 {
			box = orb.Bound{Min: q, Max: q}
		}
		box = box.Extend(q)
	}
	return box, kept, left
}

func (a *apart) isOut(i int) bool { return a.out != nil && a.out[i] }

// stretch is a part of an axis, with the lesser width of the empty strips at
// its ends.
type stretch struct{ lo, hi, gap float64 }

func (s stretch) holds(v float64) bool { return s.lo <= v && v <= s.hi }

// stretches returns the whole of an axis, and then, longest first, the stretches
// that hold half of the points left or more, between empty strips over
// apartRatio times as wide as they are long. Of strips under a 1024th of the
// range nothing need be known: they are not apartRatio times as wide as anything
// that matters.
func (a *apart) stretches(points []tin.Point, axis int) []stretch {
	const bins = 1024
	list := []stretch{{math.Inf(-1), math.Inf(1), math.Inf(1)}}
	lo, hi := a.rest.Min[axis], a.rest.Max[axis]
	if !(hi > lo) {
		return list
	}
	var all [bins]run
	sum := 0
	for i, p := range points {
		if a.isOut(i) {
			continue
		}
		v := [2]float64{p.E, p.N}[axis]
		r := &all[max(0, min(int((v-lo)/(hi-lo)*bins), bins-1))]
		if r.count == 0 {
			r.lo, r.hi = v, v
		}
		r.lo, r.hi = min(r.lo, v), max(r.hi, v)
		r.count++
		sum++
	}
	var runs []run
	for _, r := range all {
		if r.count > 0 {
			runs = append(runs, r)
		}
	}
	// The widest strip left is taken as an end again and again.
	for before, after := math.Inf(1), math.Inf(1); ; {
		k, gap, below, ok := widest(runs)
		switch total := countOf(runs); {
		case !ok:
			return list
		case 2*below >= sum:
			runs, after = runs[:k], gap
		case 2*(total-below) >= sum:
			runs, before = runs[k:], gap
		default:
			return list
		}
		s := stretch{runs[0].lo, runs[len(runs)-1].hi, min(before, after)}
		if s.gap > apartRatio*(s.hi-s.lo) {
			list = append(list, s)
		}
	}
}

// run is the points of a stretch so short that it is not looked into.
type run struct {
	lo, hi float64
	count  int
}

// widest returns the index of the run after the widest gap, the gap's width, and
// how many points lie below it.
func widest(runs []run) (k int, gap float64, below int, ok bool) {
	sum := 0
	for i, r := range runs {
		if i > 0 && r.lo-runs[i-1].hi > gap {
			k, gap, below, ok = i, r.lo-runs[i-1].hi, sum, true
		}
		sum += r.count
	}
	return k, gap, below, ok
}

func countOf(runs []run) int {
	sum := 0
	for _, r := range runs {
		sum += r.count
	}
	return sum
}

// suspects names the points set apart.
func (a *apart) suspects(points []tin.Point) []Suspect {
	var out []Suspect
	among := a.rest.Pad(max(a.rest.Max[0]-a.rest.Min[0], a.rest.Max[1]-a.rest.Min[1]))
	for i, far := range a.out {
		if !far {
			continue
		}
		p := points[i]
		s := Suspect{DoubtApart, p, fmt.Sprintf("E %s N %s is far from most of the points: another origin, or a slip?", shortest(p.E), shortest(p.N)), i}
		if among.Contains(orb.Point{p.N, p.E}) {
			s.Doubt = DoubtSwapped
			s.Message = fmt.Sprintf("E %s N %s would lie among the other points with easting and northing exchanged", shortest(p.E), shortest(p.N))
		}
		out = append(out, s)
	}
	return out
}
