package daylight

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// oracle measures works from the definitions alone, on a raster: at a place the face
// is the least, over every side of the outline, of level plus distance over n. It knows
// no strips, fans, facets or ground triangles. Coordinates are metres from the frame's
// origin.
type oracle struct {
	ground  *tin.Surface
	pads    []oraclePad
	topsoil float64
	areas   []oracleArea
}

type oracleArea struct {
	rings [][][2]float64
	depth float64
}

type oraclePad struct {
	rings [][][2]float64
	sides [2][]oracleSide // for cut, for fill
	full  [2]bool         // only sides that face a place count
}

// oracleSide is a side from a corner along u, the outside of the pad on its right.
type oracleSide struct {
	x, y, ux, uy, length float64
	level, slope         float64 // at the start, and per metre along; negated for fill
	profile              Profile
	before, after        float64 // turns at its ends, anticlockwise; +Inf unless the side beyond is upright
}

func newOracle(in Input) *oracle {
	l := in.Ground.Frame().Length()
	o := &oracle{ground: in.Ground, topsoil: in.Topsoil}
	for _, a := range in.Areas {
		var rings [][][2]float64
		for _, r := range a.Outline {
			var ring [][2]float64
			for _, p := range r {
				ring = append(ring, [2]float64{p[0] * l, p[1] * l})
			}
			rings = append(rings, ring)
		}
		o.areas = append(o.areas, oracleArea{rings, a.Depth})
	}
	for i := range in.Pads {
		o.pads = append(o.pads, newOraclePad(&in.Pads[i], l))
	}
	return o
}

func newOraclePad(p *Pad, l float64) oraclePad {
	var out oraclePad
	for _, r := range p.Rings {
		var ring [][2]float64
		for _, v := range r {
			ring = append(ring, [2]float64{v.X * l, v.Y * l})
		}
		out.rings = append(out.rings, ring)
	}
	for k, profiles := range [][][]Profile{p.Cut, p.Fill} {
		sign := []float64{1, -1}[k]
		for r, ring := range out.rings {
			out.sides[k] = append(out.sides[k], oracleRing(ring, p.Rings[r], profiles[r], sign)...)
		}
		out.full[k] = fullSet(out.sides[k])
	}
	return out
}

func oracleRing(ring [][2]float64, v []Vertex, profiles []Profile, sign float64) []oracleSide {
	n := len(ring)
	sides := make([]oracleSide, n)
	for i, a := range ring {
		b := ring[(i+1)%n]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		level, end := sign*v[i].Level, sign*v[(i+1)%n].Level
		sides[i] = oracleSide{x: a[0], y: a[1], ux: (b[0] - a[0]) / length, uy: (b[1] - a[1]) / length, length: length,
			level: level, slope: (end - level) / length, profile: profiles[i], before: math.Inf(1), after: math.Inf(1)}
	}
	for i := range sides {
		a, b := &sides[i], &sides[(i+1)%n]
		turn := math.Atan2(a.ux*b.uy-a.uy*b.ux, a.ux*b.ux+a.uy*b.uy)
		if b.profile.Upright() {
			a.after = turn
		}
		if a.profile.Upright() {
			b.before = turn
		}
	}
	return sides
}

// fullSet reports whether batters differ by side, or some place of the outline stands
// above the batter from another.
func fullSet(sides []oracleSide) bool {
	for i := range sides {
		if sides[i].profile != sides[0].profile {
			return true
		}
	}
	if sides[0].profile.Upright() {
		return false
	}
	for _, s := range sides {
		for k := range 33 {
			t := s.length * float64(k) / 32
			x, y, level := s.x+t*s.ux, s.y+t*s.uy, s.level+t*s.slope
			if (&oraclePad{sides: [2][]oracleSide{sides}}).face(0, x, y) < level-1e-9 {
				return true
			}
		}
	}
	return false
}

// face is the face at a place, for fill of the world upside down; +Inf if there is none.
func (p *oraclePad) face(k int, x, y float64) float64 {
	least := math.Inf(1)
	for i := range p.sides[k] {
		least = min(least, p.sides[k][i].face(x, y, p.full[k]))
	}
	return least
}

// face is the least over a side of level plus rise of the batter, in closed form.
func (s *oracleSide) face(x, y float64, full bool) float64 {
	if s.profile.Upright() {
		return math.Inf(1)
	}
	dx, dy := x-s.x, y-s.y
	along, out := dx*s.ux+dy*s.uy, dx*s.uy-dy*s.ux
	if full && out <= 0 {
		return math.Inf(1)
	}
	if s.profile.Every > 0 { // level pads only
		t := min(max(along, 0), s.length)
		return s.level + bermRise(s.profile, math.Hypot(along-t, out))
	}
	n := s.profile.Along
	t := 0.0
	if k := n * s.slope; k <= -1 {
		t = s.length
	} else if k < 1 {
		t = along - k*math.Abs(out)/math.Sqrt(1-k*k)
	}
	if full && t >= s.length && math.Atan2(along-s.length, out) > s.after {
		return math.Inf(1)
	}
	if full && t <= 0 && math.Atan2(-along, out) > s.before {
		return math.Inf(1)
	}
	t = min(max(t, 0), s.length)
	return s.level + t*s.slope + math.Hypot(along-t, out)/n
}

func bermRise(p Profile, distance float64) float64 {
	face := p.Every * p.Along
	whole := math.Floor(distance / (face + p.Berm))
	return whole*p.Every + min((distance-whole*(face+p.Berm))/p.Along, p.Every)
}

func holds(rings [][][2]float64, x, y float64) bool {
	in := false
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
				in = !in
			}
		}
	}
	return in
}

// level is the stripped ground at a place.
func (o *oracle) level(x, y float64) (float64, bool) {
	l := o.ground.Frame().Length()
	m := o.ground.Frame().Metres(x/l, y/l)
	z, ok := o.ground.LevelAt(m[0], m[1])
	depth := o.topsoil
	for _, a := range o.areas {
		if holds(a.rings, x, y) {
			depth = a.depth
		}
	}
	return z - depth, ok
}

func (o *oracle) insideAny(x, y float64) bool {
	for i := range o.pads {
		if holds(o.pads[i].rings, x, y) {
			return true
		}
	}
	return false
}

// raster is square cells over the ground.
type raster struct {
	*oracle
	step, x, y    float64
	across, up    int
	known, border []bool
	sure          float64  // metres of depth for each metre of step that a contact needs
	inside        [][]bool // of each pad, the cell's middle
	ground        []float64
}

func (o *oracle) raster(step float64) *raster {
	l := o.ground.Frame().Length()
	b := o.ground.Bound()
	x0, y0 := o.ground.Frame().Local(b.Min)
	x1, y1 := o.ground.Frame().Local(b.Max)
	x0, y0, x1, y1 = x0*l, y0*l, x1*l, y1*l
	r := &raster{oracle: o, step: step, x: x0 - 0.37*step, y: y0 - 0.61*step}
	r.across, r.up = int((x1-r.x)/step)+2, int((y1-r.y)/step)+2
	n := r.across * r.up
	r.known, r.border, r.ground = make([]bool, n), make([]bool, n), make([]float64, n)
	for range o.pads {
		r.inside = append(r.inside, make([]bool, n))
	}
	for c := range n {
		x, y := r.middle(c)
		r.ground[c], r.known[c] = o.level(x, y)
	}
	for i := range o.pads {
		r.fillInside(i)
	}
	for i := range r.border {
		r.border[i] = r.border[i] || r.mixedKnown(i)
	}
	return r
}

// fillInside marks the cells whose middle a pad holds, and those its outline passes.
func (r *raster) fillInside(pad int) {
	p := &r.pads[pad]
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, ring := range p.rings {
		for _, v := range ring {
			b = b.Extend(orb.Point{v[0], v[1]})
		}
	}
	for c := range r.inside[pad] {
		if x, y := r.middle(c); b.Contains(orb.Point{x, y}) {
			r.inside[pad][c] = holds(p.rings, x, y)
		}
	}
	for _, s := range p.sides[0] {
		for t := 0.0; t < s.length; t += r.step / 4 {
			if c := r.cell(s.x+t*s.ux, s.y+t*s.uy); c >= 0 {
				r.border[c] = true
			}
		}
	}
}

func (r *raster) mixedKnown(c int) bool {
	for _, d := range r.near(c) {
		if r.known[c] != r.known[d] {
			return true
		}
	}
	return false
}

func (r *raster) middle(c int) (x, y float64) {
	return r.x + (float64(c%r.across)+0.5)*r.step, r.y + (float64(c/r.across)+0.5)*r.step
}

func (r *raster) cell(x, y float64) int {
	i, j := int(math.Floor((x-r.x)/r.step)), int(math.Floor((y-r.y)/r.step))
	if i < 0 || j < 0 || i >= r.across || j >= r.up {
		return -1
	}
	return j*r.across + i
}

// near are the cells round a cell, those beside it first.
func (r *raster) near(c int) (out []int) {
	i, j := c%r.across, c/r.across
	for _, d := range [8][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, 1}, {1, -1}, {-1, -1}} {
		if a, b := i+d[0], j+d[1]; a >= 0 && b >= 0 && a < r.across && b < r.up {
			out = append(out, b*r.across+a)
		}
	}
	return out
}

// flooded marks the cells of the works of a pad: k 0 for cut, 1 for fill.
func (r *raster) flooded(pad, k int) []bool {
	p, sign := &r.pads[pad], []float64{1, -1}[k]
	seen, wet := make([]bool, len(r.known)), make([]bool, len(r.known))
	var queue []int
	try := func(c int) {
		if seen[c] || !r.known[c] || r.inside[pad][c] {
			return
		}
		seen[c] = true
		x, y := r.middle(c)
		if sign*r.ground[c] > p.face(k, x, y)+r.sure*r.step {
			wet[c] = true
			queue = append(queue, c)
		}
	}
	for _, s := range p.sides[k] {
		for t := r.step / 10; t < s.length; t += r.step / 3 {
			x, y := s.x+t*s.ux, s.y+t*s.uy
			g, ok := r.level(x, y)
			c := r.cell(x+s.uy*r.step*0.6, y-s.ux*r.step*0.6)
			face := p.face(k, x+1e-7*s.uy, y-1e-7*s.ux) // just outside
			if !ok || c < 0 || sign*g <= max(s.level+t*s.slope, face)+r.sure*r.step {
				continue
			}
			for _, d := range append(r.near(c), c) {
				mx, my := r.middle(d)
				if out := (mx-x)*s.uy - (my-y)*s.ux; out > 0 && math.Hypot(mx-x, my-y) < 1.2*r.step {
					try(d)
				}
			}
		}
	}
	for len(queue) > 0 {
		c := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for _, d := range r.near(c) {
			if d/r.across == c/r.across || d%r.across == c%r.across {
				try(d)
			}
		}
	}
	return wet
}

// volumes are the cut and fill outside all outlines, cubic metres, and the square
// metres where cut takes the place of fill. Cells that a rim passes are cut in 36.
func (r *raster) volumes() (cut, fill, clash float64) {
	wet := make([][2][]bool, len(r.pads))
	for i := range r.pads {
		wet[i] = [2][]bool{r.flooded(i, 0), r.flooded(i, 1)}
	}
	for c := range r.known {
		fine := 1
		if r.border[c] {
			fine = 6
		}
		held := r.held(wet, c, fine > 1)
		if held == nil {
			continue
		}
		x, y := r.middle(c)
		area := r.step * r.step / float64(fine*fine)
		for i := range fine {
			for j := range fine {
				px := x + (float64(i)-float64(fine-1)/2)*r.step/float64(fine)
				py := y + (float64(j)-float64(fine-1)/2)*r.step/float64(fine)
				a, b, both := r.depths(held, px, py)
				cut, fill = cut+a*area, fill+b*area
				if both {
					clash += area
				}
			}
		}
	}
	return cut, fill, clash
}

// held names the pads whose works hold a cell, or with around also one beside it.
func (r *raster) held(wet [][2][]bool, c int, around bool) (out [][2]int) {
	cells := []int{c}
	if around {
		cells = append(cells, r.near(c)...)
	}
	for i := range wet {
		for k := range 2 {
			for _, d := range cells {
				if wet[i][k][d] {
					out = append(out, [2]int{i, k})
					break
				}
			}
		}
	}
	return out
}

// depths are the depths of cut and fill at a place.
func (r *raster) depths(held [][2]int, x, y float64) (cut, fill float64, both bool) {
	g, ok := r.level(x, y)
	if !ok || r.insideAny(x, y) {
		return 0, 0, false
	}
	for _, h := range held {
		if h[1] == 0 {
			cut = max(cut, g-r.pads[h[0]].face(0, x, y))
		} else {
			fill = max(fill, -g-r.pads[h[0]].face(1, x, y))
		}
	}
	if cut > 0 {
		return cut, 0, fill > 0
	}
	return 0, fill, false
}
