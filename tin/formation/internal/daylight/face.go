package daylight

import "math"

// face is a plane over a convex region of the plan: one band of a strip along a side,
// or of a facet of a fan round a corner. Levels are taken as the sign of the works
// says: those of a fill are turned over, so that a face always rises outwards.
type face struct {
	region              []line
	x, y, level, gx, gy float64
	unit                int32
	borders             []int32 // the borders it shares
}

// at returns the level of the face.
func (f *face) at(x, y float64) float64 {
	return f.level + (float64(f.gx*(x-f.x)) + float64(f.gy*(y-f.y)))
}

// border is a stretch that two faces share: from (x, y) in the direction (dx, dy).
type border struct {
	a, b         int32
	x, y, dx, dy float64
	from, to     float64 // distances along; to may be infinite
}

// unit is a strip or a fan: the faces first to last, which do not overlap. They are
// facet by facet, of which a strip has one, and each facet's band by band outwards.
type unit struct {
	pad         int32
	ring, side  int // of the strip, or of the side that starts at the fan's corner
	fan         bool
	first, last int32
	x, y        float64  // the fan's corner
	slope       float64  // of the fan's cone, metres up for a local unit along; of its steepest band
	sectors     [][]line // convex regions that make up the unit
	overlaps    []int32  // units whose regions it shares area with, ascending
	bands       []band
	fronts      []line  // of each facet: what lies outwards of the outline is within
	out         float64 // how far from its front a facet comes for each length that bands count
	start       [2]float64
	open, step  float64 // a fan's sector from the ray start, and its facets' angle, radians
}

// builder makes the faces of one sign for several pads.
type builder struct {
	length  float64 // metres in a local unit
	reach   float64 // local units
	angle   float64 // greatest angle of a facet, radians
	sign    float64
	span    float64 // longest side, local units
	faces   []face
	borders []border
	units   []unit
	strips  map[Place]stack
	mixed   []bool // pads whose sides have different batters, or are too steep for them
}

// end is how a side meets a corner: what stands there, and in which direction its
// face rises.
type end struct {
	profile Profile
	ux, uy  float64 // direction of the side
	wx, wy  float64 // of the ray that bounds its strip
	lean    float64 // angle of that ray from the side's normal, towards the side's direction
	strip   stack
}

// stack is the faces of one strip or facet from the outline outwards, one a band;
// without bands there are none.
type stack struct {
	first int32
	bands []band
}

// pad adds the strips and fans of a pad.
func (b *builder) pad(index int32, p *Pad) {
	for r, ring := range p.Rings {
		n := len(ring)
		ends := make([]end, n)
		for i := range ring {
			ends[i] = b.strip(index, r, i, ring[i], ring[(i+1)%n], p.profile(r, i, b.sign))
		}
		first, last := make([]stack, n), make([]stack, n) // at the rays of the sides before and after each corner
		for i := range ring {
			first[i], last[i] = b.corner(index, r, i, ring[i], &ends[(i+n-1)%n], &ends[i], b.mixed[index])
		}
		for i := range ring {
			k := (i + 1) % n
			b.closed(&ends[i], ring[i], ring[k], last[i], first[k])
		}
	}
}

// strip adds the strip of the side from p to q.
func (b *builder) strip(pad int32, ring, side int, p, q Vertex, profile Profile) end {
	dx, dy := q.X-p.X, q.Y-p.Y
	d := hypot(dx, dy)
	e := end{profile: profile, ux: dx / d, uy: dy / d}
	vx, vy := e.uy, -e.ux // outwards: the outline has its inside on the left
	rise := b.sign * (q.Level - p.Level) / d
	if profile.Upright() {
		e.wx, e.wy = vx, vy
		return e
	}
	k := min(max(rise*profile.Along/b.length, -1), 1)
	c := math.Sqrt(float64((1 - k) * (1 + k)))
	e.lean = math.Asin(k)
	e.wx, e.wy = float64(k*e.ux)+float64(c*vx), float64(k*e.uy)+float64(c*vy)
	if c == 0 {
		return e
	}
	e.strip = stack{int32(len(b.faces)), profile.bands(b.reach, b.length)}
	number := int32(len(b.units))
	u := unit{pad: pad, ring: ring, side: side, first: e.strip.first, bands: e.strip.bands, out: c}
	// Within: on the side of q from the ray at p, on that of p from the ray at q.
	mx, my := (e.ux-float64(k*e.wx))/c, (e.uy-float64(k*e.wy))/c
	rays := []line{{p.X, p.Y, mx, my}, {q.X, q.Y, -mx, -my}}
	for _, band := range e.strip.bands {
		ax, ay := p.X+float64(band.from*e.wx), p.Y+float64(band.from*e.wy)
		region := append([]line{{ax, ay, vx, vy}}, rays...)
		if !math.IsInf(band.to, 1) {
			region = append(region, line{p.X + float64(band.to*e.wx), p.Y + float64(band.to*e.wy), -vx, -vy})
		}
		across := (band.slope - float64(k*rise)) / c
		if band.slope > 0 && math.Abs(k) < 1 {
			across = float64(c * band.slope)
		}
		b.faces = append(b.faces, face{
			region: region, x: ax, y: ay, level: b.sign*p.Level + band.rise,
			gx: float64(rise*e.ux) + float64(across*vx), gy: float64(rise*e.uy) + float64(across*vy), unit: number,
		})
		if band.from > 0 {
			last := int32(len(b.faces) - 1)
			b.border(border{a: last - 1, b: last, x: ax, y: ay, dx: e.ux, dy: e.uy, from: 0, to: d})
		}
	}
	b.strips[Place{int(pad), ring, side}] = e.strip
	b.span = max(b.span, d)
	u.last = int32(len(b.faces) - 1)
	u.fronts = []line{{p.X, p.Y, vx, vy}}
	u.sectors = [][]line{{u.fronts[0], rays[0], rays[1]}}
	b.units = append(b.units, u)
	return e
}

// closed joins what stands at the two ends of a side from p to q that has no strip,
// because it is as steep as the batter or steeper: there the rays of both ends run into
// each other beyond the higher end.
func (b *builder) closed(e *end, p, q Vertex, atStart, atEnd stack) {
	switch {
	case e.profile.Upright() || e.strip.bands != nil:
	case e.lean < 0:
		b.join(atStart, atEnd, p.X, p.Y, e.wx, e.wy)
	default:
		b.join(atStart, atEnd, q.X, q.Y, e.wx, e.wy)
	}
}

// corner adds what stands round the corner between side t that ends there and side s
// that starts there, and returns what comes first after t's ray and last before s's.
// full says that a side counts only for places in front of it.
func (b *builder) corner(pad int32, ring, side int, v Vertex, t, s *end, full bool) (first, last stack) {
	turn := turn(t.ux, t.uy, s.ux, s.uy)
	// Angles from t's ray, anticlockwise: of s's ray, backwards along s, on along t.
	open, back, ahead := turn+s.lean-t.lean, turn-math.Pi/2-t.lean, math.Pi/2-t.lean
	f := fan{unit: unit{pad: pad, ring: ring, side: side, fan: true, x: v.X, y: v.Y}, level: v.Level, wx: t.wx, wy: t.wy}
	switch tp, sp := t.profile, s.profile; {
	case tp.Upright() && sp.Upright():
	case tp.Upright():
		_, last = b.fan(f, max(0, back), open, sp, stack{}, s.strip)
	case sp.Upright():
		first, _ = b.fan(f, 0, min(ahead, open), tp, t.strip, stack{})
	case full && turn < 0:
		// Beyond the pad's own arms each side has in front of it what the other has not.
		first, _ = b.fan(f, 0, ahead, tp, t.strip, stack{})
		_, last = b.fan(f, back, open, sp, stack{}, s.strip)
	case tp != sp && tp.mean() > sp.mean():
		var flat stack
		first, flat = b.fan(f, 0, ahead, tp, t.strip, stack{})
		_, last = b.fan(f, ahead, open, sp, flat, s.strip)
	case tp != sp && back > 0:
		var steeper stack
		first, steeper = b.fan(f, 0, back, tp, t.strip, stack{})
		_, last = b.fan(f, back, open, sp, steeper, s.strip)
	case tp != sp:
		_, last = b.fan(f, back, open, sp, stack{}, s.strip)
	case open == 0:
		b.join(t.strip, s.strip, v.X, v.Y, t.wx, t.wy)
		return s.strip, t.strip
	default:
		return b.fan(f, 0, open, sp, t.strip, s.strip)
	}
	return first, last
}

// mean is metres along for each metre up, berms included.
func (p Profile) mean() float64 {
	if p.Every > 0 {
		return p.Along + p.Berm/p.Every
	}
	return p.Along
}

// fan is a cone to be: round a corner, from a ray.
type fan struct {
	unit   unit
	level  float64
	wx, wy float64 // the ray that angles are taken from
}

func (f *fan) direction(angle float64) (x, y float64) {
	sin, cos := math.Sincos(angle)
	return float64(cos*f.wx) - float64(sin*f.wy), float64(sin*f.wx) + float64(cos*f.wy)
}

// fan adds facets over the sector from the angle start anticlockwise to stop; none if
// it is not open. They touch the cone from below, each between half-way rays, so that the
// first and the last lie in the planes of the strips beside them. It returns the first
// and the last; if it is not open, none and the one before.
func (b *builder) fan(f fan, start, stop float64, profile Profile, before, after stack) (first, last stack) {
	open := stop - start
	if !(open > 0) {
		return stack{}, before
	}
	number := int32(len(b.units))
	bands := profile.bands(b.reach, b.length)
	parts := max(1, int(math.Ceil(open/b.angle)))
	step := open / float64(parts)
	f.unit.first = int32(len(b.faces))
	f.unit.slope = b.length / profile.Along
	rx, ry := f.direction(start) // the ray before the facet
	f.unit.bands, f.unit.out = bands, 1
	f.unit.start, f.unit.open, f.unit.step = [2]float64{rx, ry}, open, step
	for i := range parts + 1 {
		fx, fy := f.direction(start + float64(float64(i)*step)) // where it touches
		nx, ny := f.direction(start + min(open, float64((float64(i)+0.5)*step)))
		f.unit.fronts = append(f.unit.fronts, line{f.unit.x, f.unit.y, fx, fy})
		facet := stack{int32(len(b.faces)), bands}
		b.facet(&f, number, facet, [3][2]float64{{rx, ry}, {fx, fy}, {nx, ny}}, math.Tan(step/2))
		b.join(before, facet, f.unit.x, f.unit.y, rx, ry)
		before, rx, ry = facet, nx, ny
	}
	b.join(before, after, f.unit.x, f.unit.y, rx, ry)
	f.unit.last = int32(len(b.faces) - 1)
	f.unit.sectors = f.sectors(start, open)
	b.units = append(b.units, f.unit)
	return stack{f.unit.first, bands}, before
}

// facet adds the faces of one facet, given the rays before it, along it and after it.
func (b *builder) facet(f *fan, unit int32, s stack, ray [3][2]float64, tangent float64) {
	u, along := &f.unit, ray[1]
	for k, band := range s.bands {
		x, y := u.x+float64(band.from*along[0]), u.y+float64(band.from*along[1])
		region := []line{{u.x, u.y, -ray[0][1], ray[0][0]}, {u.x, u.y, ray[2][1], -ray[2][0]}}
		if k > 0 {
			region = append(region, line{x, y, along[0], along[1]})
		}
		if !math.IsInf(band.to, 1) {
			region = append(region, line{u.x + float64(band.to*along[0]), u.y + float64(band.to*along[1]), -along[0], -along[1]})
		}
		b.faces = append(b.faces, face{
			region: region, x: x, y: y, level: float64(b.sign*f.level) + band.rise,
			gx: band.slope * along[0], gy: band.slope * along[1], unit: unit,
		})
		if k > 0 {
			half := band.from * tangent
			b.border(border{a: s.first + int32(k) - 1, b: s.first + int32(k), x: x, y: y, dx: -along[1], dy: along[0], from: -half, to: half})
		}
	}
}

// join makes a ray from (x, y) the border of two stacks, band by band.
func (b *builder) join(p, q stack, x, y, dx, dy float64) {
	for i, f := range p.bands {
		for k, g := range q.bands {
			if from, to := max(f.from, g.from), min(f.to, g.to); from < to {
				b.border(border{a: p.first + int32(i), b: q.first + int32(k), x: x, y: y, dx: dx, dy: dy, from: from, to: to})
			}
		}
	}
}

func (b *builder) border(e border) {
	e.to = min(e.to, b.reach)
	if !(e.from < e.to) {
		return
	}
	n := int32(len(b.borders))
	b.borders = append(b.borders, e)
	b.faces[e.a].borders = append(b.faces[e.a].borders, n)
	b.faces[e.b].borders = append(b.faces[e.b].borders, n)
}

// sectors cuts the sector into convex ones of at most a right angle.
func (f *fan) sectors(start, open float64) (out [][]line) {
	parts := math.Ceil(open / (math.Pi / 2))
	for i := 0.0; i < parts; i++ {
		ax, ay := f.direction(start + open*i/parts)
		bx, by := f.direction(start + open*(i+1)/parts)
		out = append(out, []line{{f.unit.x, f.unit.y, -ay, ax}, {f.unit.x, f.unit.y, by, -bx}})
	}
	return out
}
