package formation

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Corner is a corner of an outline with its levels.
type Corner struct {
	Name      string
	E, N      float64 // easting and northing, metres
	Finished  float64 // finished level, metres
	Formation float64 // formation level, metres
	Ring      int     // 0 is the outer ring, 1 the first hole; -1: not a corner but a spot or a line's vertex
}

// Side is a side of an outline.
type Side struct {
	From, To string
	Length   float64 // in plan, metres
	Bearing  float64 // degrees from north clockwise, in [0, 360)
	Ring     int     // as in Corner
}

// Diagonal is a diagonal of a four-sided pad.
type Diagonal struct {
	From, To string
	Length   float64 // in plan, metres
}

// Geometry is a pad's measure in plan and its levels, to hold against the
// drawing. Corners of the outer ring have the pad's names, or 1, 2, ... in the
// outline's order; those of the first hole are "hole 1: 1", "hole 1: 2", ...
type Geometry struct {
	Corners   []Corner   // in the outline's given order, all rings
	Sides     []Side     // each from a corner to the next in that order
	Diagonals []Diagonal // both, of a four-sided pad without holes; else none
	Area      float64    // in plan, m2, without the holes
	Perimeter float64    // in plan, metres, of all rings

	// The places with the greatest and least formation level, of the corners
	// and of a pad's own spots and lines. Levels that are the same to a
	// micrometre count as equal; of equals the one first by easting, then
	// northing, is taken, so that a level pad has the same corner twice.
	High, Low Corner
}

// Geometry measures the pad. Its error is that of [Pad.Check].
func (p Pad) Geometry() (Geometry, error) {
	if err := p.Check(); err != nil {
		return Geometry{}, err
	}
	return p.measure(outlineRings(p.Outline))
}

// measure is Geometry for a pad that is known to be good.
func (p Pad) measure(rings [][]orb.Point) (Geometry, error) {
	names, err := p.cornerNames(rings)
	if err != nil {
		return Geometry{}, err
	}
	var g Geometry
	finished, formation := p.plane(p.Finished), p.plane(FormationLevel(p.Finished, p.Layers))
	var holes, perimeters []float64
	for r, ring := range rings {
		for i, v := range ring {
			c := Corner{Name: names[r][i], E: v[0], N: v[1], Ring: r}
			if p.Levels != nil {
				c.Finished = p.Levels.Outline[r][i]
				c.Formation = FormationLevel(c.Finished, p.Layers)
			} else {
				c.Finished, c.Formation = finished.LevelAt(v[0], v[1]), formation.LevelAt(v[0], v[1])
			}
			g.Corners = append(g.Corners, c)
			next := (i + 1) % len(ring)
			g.Sides = append(g.Sides, Side{
				From: names[r][i], To: names[r][next], Ring: r,
				Length: distance(v, ring[next]), Bearing: bearingOf(v, ring[next]),
			})
		}
		area, perimeter := ringMeasure(ring)
		perimeters = append(perimeters, perimeter)
		if r == 0 {
			g.Area = area
		} else {
			holes = append(holes, area)
		}
	}
	g.Area -= sumSorted(holes)
	g.Perimeter = sumSorted(perimeters)
	if ring := rings[0]; len(rings) == 1 && len(ring) == 4 {
		for i := range 2 {
			g.Diagonals = append(g.Diagonals, Diagonal{From: names[0][i], To: names[0][i+2], Length: distance(ring[i], ring[i+2])})
		}
	}
	g.High, g.Low = highLow(append(p.innerPoints(), g.Corners...))
	return g, nil
}

// plane returns the pad's plane through a level, at Fall.At if it falls.
func (p Pad) plane(level float64) tin.Plane {
	if p.Fall == nil || p.Fall.Slope == 0 {
		return tin.LevelPlane(level)
	}
	return tin.FallingPlane(p.Fall.At, level, p.Fall.Slope, p.Fall.Bearing)
}

// innerPoints returns the spots and line vertices with levels of a pad that
// carries its own.
func (p Pad) innerPoints() []Corner {
	if p.Levels == nil {
		return nil
	}
	var inner []Corner
	add := func(v tin.Point, name string) {
		if !v.HasLevel() {
			return
		}
		if v.Name != "" {
			name = v.Name
		}
		inner = append(inner, Corner{
			Name: name, E: v.E, N: v.N, Ring: -1,
			Finished: v.Level, Formation: FormationLevel(v.Level, p.Layers),
		})
	}
	for i, s := range p.Levels.Spots {
		add(s, spotName(s, i))
	}
	for i, l := range p.Levels.Lines {
		for _, v := range l.Vertices {
			add(v, lineName(l, i))
		}
	}
	return inner
}

// highLow returns the highest and the lowest of some corners by formation.
func highLow(corners []Corner) (high, low Corner) {
	micro := func(c Corner) float64 { return math.Round(c.Formation * 1e6) }
	place := func(a, b Corner) int {
		// A spot at a corner comes after the corner.
		return cmp.Or(cmp.Compare(a.E, b.E), cmp.Compare(a.N, b.N), cmp.Compare(b.Ring, a.Ring))
	}
	high = slices.MinFunc(corners, func(a, b Corner) int { return cmp.Or(cmp.Compare(micro(b), micro(a)), place(a, b)) })
	low = slices.MinFunc(corners, func(a, b Corner) int { return cmp.Or(cmp.Compare(micro(a), micro(b)), place(a, b)) })
	return high, low
}

// ringMeasure returns the area within a ring and its length. It goes round from
// the corner that is first by easting, then northing, towards the neighbour
// that is first, so that neither depends on the outline's start or direction.
// The area is the shoelace sum of differences to that corner.
func ringMeasure(ring []orb.Point) (area, perimeter float64) {
	ring = withoutRepeats(ring)
	n := len(ring)
	start := 0
	for i, v := range ring {
		if comparePoints(v, ring[start]) < 0 {
			start = i
		}
	}
	step := 1
	if comparePoints(ring[(start+n-1)%n], ring[(start+1)%n]) < 0 {
		step = n - 1
	}
	origin := ring[start]
	var twice, length tin.Sum
	for k, i := 0, start; k < n; k++ {
		j := (i + step) % n
		a := orb.Point{ring[i][0] - origin[0], ring[i][1] - origin[1]}
		b := orb.Point{ring[j][0] - origin[0], ring[j][1] - origin[1]}
		twice.Add(float64(a[0] * b[1]))
		twice.Add(float64(-a[1] * b[0]))
		length.Add(distance(ring[i], ring[j]))
		i = j
	}
	return math.Abs(twice.Value()) / 2, length.Value()
}

// withoutRepeats leaves out corners that repeat the one before, which an
// outline may have.
func withoutRepeats(ring []orb.Point) []orb.Point {
	once := slices.Compact(slices.Clone(ring))
	for len(once) > 1 && once[0] == once[len(once)-1] {
		once = once[:len(once)-1]
	}
	return once
}

func comparePoints(a, b orb.Point) int {
	return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
}

// sumSorted adds in the order of size, so that the order of rings does not
// matter.
func sumSorted(terms []float64) float64 {
	slices.Sort(terms)
	var t tin.Sum
	for _, x := range terms {
		t.Add(x)
	}
	return t.Value()
}
