package takeoff

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"

	"barrow/tin"
	"barrow/tin/setout"
)

// PlanOptions ask [Run] for what a plan of the works shows. The zero value is good.
type PlanOptions struct {
	Triangles bool      // the edges of the ground's triangles too
	Pegs      []PlanPeg // to be marked; none

	Alignments []AlignmentResult // to be drawn with their sections, as [Sections] has them; none
}

// PlanPeg is a peg by its number, as [SetOut] has it.
type PlanPeg struct {
	Number string
	Pad    string
	Kind   setout.Kind
	At     Place
}

// PlanResult is what a plan of the works shows beside the outlines and lines in
// Result.Pads. Places are grid coordinates in the job's unit; what reaches beyond Frame is
// cut off there, but for Bands, Level and Outlines, which lie within it, and Alignments.
type PlanResult struct {
	Sheet PlanSheet
	Ratio float64   // places on the ground's grid are drawn 1:Ratio
	Frame orb.Bound // what Sheet shows at Ratio, the works in its middle

	CutStep  float64    // between the limits of Bands in cut; 0: there is none
	FillStep float64    // in fill
	Bands    []PlanBand // from the deepest cut to the deepest fill: of all works, none empty
	Level    PlanBand   // ground that is at formation already

	ContourInterval float64 // levels of contours are its multiples; 0: there are none
	Contours        []ContourLine

	Outlines   []orb.Polygon // of the pads, as drawn
	Boundary   orb.MultiLineString
	Rim        orb.MultiLineString // where the triangles end; none where there is a boundary
	Voids      orb.MultiLineString
	Breaklines orb.MultiLineString
	Triangles  []orb.LineString // edges, each once

	Spots        []orb.Point // spots and vertices of breaklines
	SpotLevels   []float64   // of each of Spots
	SpotsLeftOut int         // further ones within Frame, where they are so dense that no plan could show them
	EdgesLeftOut int         // of triangles, likewise

	Pegs       []PlanPeg         // of those asked for, the ones within Frame
	Alignments []AlignmentResult // those asked for
}

// PlanSheet is the part of a sheet of paper that shows the ground, millimetres.
type PlanSheet struct{ Wide, High float64 }

// PlanSheets returns the two ways to lay a plan out on A4: on a wide and on a high sheet,
// with room beside or below for what explains it.
func PlanSheets() (wide, high PlanSheet) { return PlanSheet{208, 172}, PlanSheet{186, 192} }

// PlanBand is a part of the works in plan by depth, ground less formation: below 0 in
// fill.
type PlanBand struct {
	From, To float64
	Area     float64    // in plan, on the ground
	Rings    []orb.Ring // round it, see volume.DepthBand
}

// ContourLine is a contour of the ground before the work.
type ContourLine struct {
	Level float64
	Index bool // a multiple of five intervals
	Line  orb.LineString
}

// Bounds of what a plan shows.
const (
	planWorksShare = 0.92  // of a sheet's width and height that the works fill at most
	planSpots      = 2500  // spots at most, but for a few
	planEdges      = 20000 // edges of triangles at most
	planGap        = 2.5   // mean distance between contours at least, mm on paper
	planContours   = 16    // from the lowest to the highest level about
	planBands      = 4     // of cut, and of fill, at most
)

// plan lays out what a plan of the works shows.
func (r *run) plan(res *Result, opts PlanOptions) error {
	r.tell("laying out the plan", 0, 1)
	p := &PlanResult{Alignments: opts.Alignments}
	for i := range r.job.Pads {
		p.Outlines = append(p.Outlines, r.job.Pads[i].Outline)
	}
	p.frame(res, r.unit)
	if err := r.planBands(p); err != nil {
		return err
	}
	if err := r.planContours(p); err != nil {
		return err
	}
	r.planSpots(p)
	r.planLines(p)
	for _, peg := range opts.Pegs {
		if p.Frame.Contains(orb.Point(peg.At)) {
			p.Pegs = append(p.Pegs, peg)
		}
	}
	if opts.Triangles {
		r.planTriangles(p)
	}
	res.Plan = p
	r.tell("laying out the plan", 1, 1)
	return nil
}

// frame chooses sheet and scale: the largest round ratio at which the works have room.
func (p *PlanResult) frame(res *Result, unit float64) {
	box := p.Outlines[0].Bound()
	for _, o := range p.Outlines {
		box = box.Union(o.Bound())
	}
	if len(res.WorksOutline) > 0 {
		box = box.Union(res.WorksOutline.Bound())
	}
	wide, high := PlanSheets()
	e, n := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
	at := func(s PlanSheet) float64 {
		return roundUp(1000*unit*max(e/s.Wide, n/s.High)/planWorksShare, 1, 2, 2.5, 5)
	}
	p.Sheet, p.Ratio = wide, at(wide)
	if ratio := at(high); ratio < p.Ratio || ratio == p.Ratio && n > e {
		p.Sheet, p.Ratio = high, ratio
	}
	k := p.Ratio / (1000 * unit) / 2
	c := box.Center()
	p.Frame = orb.Bound{
		Min: orb.Point{c[0] - k*p.Sheet.Wide, c[1] - k*p.Sheet.High},
		Max: orb.Point{c[0] + k*p.Sheet.Wide, c[1] + k*p.Sheet.High},
	}
}

// roundUp returns the least number that is at least x and a power of ten times one of the
// steps, which ascend from 1.
func roundUp(x float64, steps ...float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return 1
	}
	exponent := math.Floor(math.Log10(x))
	for e := exponent - 1; ; e++ {
		for _, s := range steps {
			if v := scaled(s, int(e)); v >= x*(1-1e-12) {
				return v
			}
		}
	}
}

// scaled returns s times a power of ten, the float64 nearest to the decimal.
func scaled(s float64, exponent int) float64 {
	if exponent < 0 {
		return s / math.Pow10(-exponent)
	}
	return s * math.Pow10(exponent)
}

// metres returns the frame in metres.
func (p *PlanResult) metres(unit float64) orb.Bound {
	return orb.Bound{Min: scalePoint(p.Frame.Min, unit), Max: scalePoint(p.Frame.Max, unit)}
}

// planLines cuts the lines of the survey off at the frame.
func (r *run) planLines(p *PlanResult) {
	rings := func(area orb.MultiPolygon) (out orb.MultiLineString) {
		for _, polygon := range area {
			for _, ring := range polygon {
				line := orb.LineString(ring)
				if len(line) > 0 && line[0] != line[len(line)-1] {
					line = append(line[:len(line):len(line)], line[0])
				}
				out = append(out, clip.LineString(p.Frame, line)...)
			}
		}
		return out
	}
	p.Boundary, p.Voids = rings(r.job.Ground.Boundary), rings(r.job.Ground.Voids)
	if len(r.job.Ground.Boundary) == 0 {
		for _, line := range r.rimLines() {
			p.Rim = append(p.Rim, clip.LineString(p.Frame, line)...)
		}
	}
	for _, src := range sourcesOf(r.surveys) {
		for _, b := range src.Breaklines {
			line := make(orb.LineString, len(b.Vertices))
			for i, v := range b.Vertices {
				line[i] = orb.Point{v.E, v.N}
			}
			p.Breaklines = append(p.Breaklines, clip.LineString(p.Frame, line)...)
		}
	}
}

// rimLines joins the sides where the ground's triangles end.
func (r *run) rimLines() (lines []orb.LineString) {
	type side struct{ from, to int }
	var sides []side
	next := map[int][]int{} // the sides that leave a vertex
	for t, i := range r.ground.Rim() {
		v := r.ground.Triangle(t).Vertex
		next[v[i]] = append(next[v[i]], len(sides))
		sides = append(sides, side{v[i], v[(i+1)%3]})
	}
	for _, s := range sides {
		var line orb.LineString
		for at := s.from; len(next[at]) > 0; {
			k := next[at][0]
			next[at] = next[at][1:]
			if at = sides[k].to; line == nil {
				line = append(line, r.vertexAt(sides[k].from))
			}
			line = append(line, r.vertexAt(at))
		}
		if line != nil {
			lines = append(lines, line)
		}
	}
	return lines
}

// planTriangles takes the edges of the ground's triangles.
func (r *run) planTriangles(p *PlanResult) {
	for _, e := range r.ground.Edges() {
		a, b := r.vertexAt(e.Vertex[0]), r.vertexAt(e.Vertex[1])
		parts := clip.LineString(p.Frame, orb.LineString{a, b})
		if len(p.Triangles) >= planEdges {
			p.EdgesLeftOut += len(parts)
			continue
		}
		for _, part := range parts {
			p.Triangles = append(p.Triangles, part)
		}
	}
	if p.EdgesLeftOut > 0 { // a part of a mesh would look like all of it
		p.EdgesLeftOut, p.Triangles = p.EdgesLeftOut+len(p.Triangles), nil
	}
}

// vertexAt returns the place of a vertex of the ground in the job's unit.
func (r *run) vertexAt(v int) orb.Point {
	w := r.ground.Vertex(v)
	return orb.Point{w.E / r.unit, w.N / r.unit}
}

// planSpots takes the spots within the frame: where there are too many, the first by
// easting, then northing, of each cell of a grid.
func (r *run) planSpots(p *PlanResult) {
	var at []orb.Point
	var level []float64
	for i, v := range r.ground.Vertices() {
		if q := (orb.Point{v.E / r.unit, v.N / r.unit}); p.Frame.Contains(q) && len(r.ground.Crossing(i)) == 0 {
			at, level = append(at, q), append(level, v.Level/r.unit)
		}
	}
	p.Spots, p.SpotLevels = at, level
	if len(at) <= planSpots {
		return
	}
	side := math.Sqrt(p.Sheet.Wide*p.Sheet.High/planSpots) * p.Ratio / (1000 * r.unit)
	cell := func(q orb.Point) [2]int {
		return [2]int{int((q[0] - p.Frame.Min[0]) / side), int((q[1] - p.Frame.Min[1]) / side)}
	}
	first := map[[2]int]int{}
	for i, q := range at {
		if k, ok := first[cell(q)]; !ok || Place(q).before(Place(at[k])) {
			first[cell(q)] = i
		}
	}
	p.Spots, p.SpotLevels = nil, nil
	for i, q := range at {
		if first[cell(q)] == i {
			p.Spots, p.SpotLevels = append(p.Spots, q), append(p.SpotLevels, level[i])
		}
	}
	p.SpotsLeftOut = len(at) - len(p.Spots)
}

// planContours draws contours at an interval so that they are neither too many nor too
// close: over ground of slopes s, all contours of an interval h together are about the
// integral of s over h long (the coarea formula).
func (r *run) planContours(p *PlanResult) error {
	low, high, slopes := r.planRelief(p)
	if !(high > low) {
		return nil
	}
	gap := planGap * p.Ratio / 1000
	area := p.Sheet.Wide * p.Sheet.High * p.Ratio * p.Ratio / 1e6
	interval := roundUp(max((high-low)/planContours, slopes*gap/area, 0.05*r.unit)/r.unit, 1, 2, 5)
	p.ContourInterval = interval
	var levels []float64
	var numbers []int
	for k := int(math.Ceil(low / r.unit / interval)); float64(k)*interval*r.unit <= high; k++ {
		levels, numbers = append(levels, multiple(k, interval)*r.unit), append(numbers, k)
	}
	lines, err := r.ground.Contours(r.ctx, levels, p.metres(r.unit))
	if err != nil {
		return err
	}
	number := map[float64]int{}
	for i, l := range levels {
		number[l] = numbers[i]
	}
	for _, l := range lines {
		k := number[l.Level]
		for _, part := range clip.LineString(p.Frame, scaleLineString(l.Line, 1/r.unit)) {
			p.Contours = append(p.Contours, ContourLine{Level: multiple(k, interval), Index: k%5 == 0, Line: part})
		}
	}
	return nil
}

// multiple returns k, which is whole, times a step of roundUp, the float64 nearest to the
// decimal.
func multiple[K int | float64](k K, round float64) float64 {
	if round < 1 {
		return float64(k) / math.Round(1/round)
	}
	return float64(k) * round
}

// planRelief returns the least and greatest level of the vertices within the frame, metres,
// and the integral of the slope over the triangles with their centre there, m2.
func (r *run) planRelief(p *PlanResult) (low, high, slopes float64) {
	low, high = math.Inf(1), math.Inf(-1)
	frame := p.metres(r.unit)
	var sum tin.Sum
	for _, t := range r.ground.Triangles() {
		a, b, c := t.Corner[0], t.Corner[1], t.Corner[2]
		for _, v := range t.Corner {
			if frame.Contains(orb.Point{v.E, v.N}) {
				low, high = min(low, v.Level), max(high, v.Level)
			}
		}
		if !frame.Contains(orb.Point{(a.E + b.E + c.E) / 3, (a.N + b.N + c.N) / 3}) {
			continue
		}
		// Half the length of the normal's part in plan is slope times area.
		ux, uy, uz := b.E-a.E, b.N-a.N, b.Level-a.Level
		vx, vy, vz := c.E-a.E, c.N-a.N, c.Level-a.Level
		sum.Add(math.Hypot(float64(uy*vz)-float64(uz*vy), float64(uz*vx)-float64(ux*vz)) / 2)
	}
	return low, high, sum.Value()
}
