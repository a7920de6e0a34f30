package volume_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume"
)

// rational measures the same triangles as the package under test in exact
// rational arithmetic, by another road: the whole outline is clipped by each
// triangle (not the triangle by cells of the outline), then by the sign of the
// depth. Clipping a polygon that is not convex leaves bridges of no area, which
// signed sums ignore.
type rational struct {
	frame tin.Frame
	plane tin.Plane
}

type ratPoint struct{ x, y *big.Rat }

func rat(v float64) *big.Rat     { return new(big.Rat).SetFloat64(v) }
func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func quo(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }
func (r rational) local(p orb.Point) ratPoint {
	x, y := r.frame.Local(p)
	return ratPoint{rat(x), rat(y)}
}

// linear is a value over the plane: a*x + b*y + c.
type linear struct{ a, b, c *big.Rat }

func (l linear) at(p ratPoint) *big.Rat { return add(add(mul(l.a, p.x), mul(l.b, p.y)), l.c) }

func (l linear) less(m linear) linear {
	return linear{sub(l.a, m.a), sub(l.b, m.b), sub(l.c, m.c)}
}

func (l linear) negative() linear {
	zero := new(big.Rat)
	return linear{zero, zero, zero}.less(l)
}

// side is positive to the left of the line from p to q.
func side(p, q ratPoint) linear {
	a, b := sub(p.y, q.y), sub(q.x, p.x)
	return linear{a, b, new(big.Rat).Neg(add(mul(a, p.x), mul(b, p.y)))}
}

// through is the linear value that is z at the corners of a triangle.
func through(p [3]ratPoint, z [3]*big.Rat) linear {
	total := side(p[0], p[1]).at(p[2])
	sum := linear{new(big.Rat), new(big.Rat), new(big.Rat)}
	for i := range 3 {
		s, w := side(p[(i+1)%3], p[(i+2)%3]), quo(z[i], total)
		sum = linear{add(sum.a, mul(s.a, w)), add(sum.b, mul(s.b, w)), add(sum.c, mul(s.c, w))}
	}
	return sum
}

func clip(p []ratPoint, keep linear) []ratPoint {
	var out []ratPoint
	for i, q := range p {
		last := p[(i+len(p)-1)%len(p)]
		d, e := keep.at(last), keep.at(q)
		if d.Sign()*e.Sign() < 0 {
			t := quo(d, sub(d, e))
			out = append(out, ratPoint{add(last.x, mul(t, sub(q.x, last.x))), add(last.y, mul(t, sub(q.y, last.y)))})
		}
		if e.Sign() >= 0 {
			out = append(out, q)
		}
	}
	return out
}

// integral returns the signed area of p and the integral of v over it.
func integral(p []ratPoint, v linear) (area, volume *big.Rat) {
	area, volume = new(big.Rat), new(big.Rat)
	for i := 2; i < len(p); i++ {
		a := side(p[0], p[i-1]).at(p[i])
		area.Add(area, mul(a, big.NewRat(1, 2)))
		volume.Add(volume, mul(mul(a, big.NewRat(1, 6)), add(add(v.at(p[0]), v.at(p[i-1])), v.at(p[i]))))
	}
	return area, volume
}

type exact struct{ cut, fill, cutArea, fillArea *big.Rat }

// formation is the plane over local coordinates. The place it goes through is
// taken as the frame takes it: a decimal, where the survey is in decimals.
func (r rational) formation() linear {
	at, unit := r.local(r.plane.At), rat(r.frame.Length())
	gx, gy := mul(rat(r.plane.Gradient[0]), unit), mul(rat(r.plane.Gradient[1]), unit)
	return linear{gx, gy, sub(rat(r.plane.Level), add(mul(gx, at.x), mul(gy, at.y)))}
}

func (r rational) measure(ground *tin.Surface, outline orb.Polygon) exact {
	e := exact{new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat)}
	plane := r.formation()
	for _, t := range ground.Triangles() {
		var p [3]ratPoint
		var z [3]*big.Rat
		for i, c := range t.Corner {
			p[i], z[i] = r.local(orb.Point{c.E, c.N}), rat(c.Level)
		}
		depth := through(p, z).less(plane)
		for k, ring := range outline {
			poly := make([]ratPoint, 0, len(ring))
			for i, c := range ring {
				if i > 0 && i == len(ring)-1 && c == ring[0] {
					break
				}
				poly = append(poly, r.local(c))
			}
			sign := big.NewRat(1, 1)
			if area, _ := integral(poly, depth); (area.Sign() < 0) != (k > 0) {
				sign = big.NewRat(-1, 1) // clockwise, or a hole
			}
			for i := range 3 {
				poly = clip(poly, side(p[i], p[(i+1)%3]))
			}
			above, below := clip(poly, depth), clip(poly, depth.negative())
			a, v := integral(above, depth)
			e.cut.Add(e.cut, mul(sign, v))
			b, w := integral(below, depth)
			e.fill.Sub(e.fill, mul(sign, w))
			if depth.a.Sign() != 0 || depth.b.Sign() != 0 || depth.c.Sign() != 0 {
				e.cutArea.Add(e.cutArea, mul(sign, a))
				e.fillArea.Add(e.fillArea, mul(sign, b))
			}
		}
	}
	unit := rat(r.frame.Area())
	for _, v := range []*big.Rat{e.cut, e.fill, e.cutArea, e.fillArea} {
		v.Mul(v, unit)
	}
	return e
}

// randomJob is a small ground and an outline full of coincidences: spots on a
// coarse grid of places and levels, outline corners on spots and edges.
func randomJob(rng *rand.Rand) (points []tin.Point, outline orb.Polygon, plane tin.Plane) {
	step := []float64{1, 0.001, 0.25, 10}[rng.IntN(4)]
	offset := []float64{0, 0, 500000, 6e6}[rng.IntN(4)]
	side := 4 + rng.IntN(5)
	ragged := rng.IntN(3) == 0 // full mantissas
	place := func() orb.Point {
		p := orb.Point{offset + step*float64(rng.IntN(side)), offset + step*float64(rng.IntN(side))}
		if ragged {
			p[0] += step * rng.Float64()
			p[1] += step * rng.Float64()
		}
		return p
	}
	seen := make(map[orb.Point]bool)
	for range 6 + rng.IntN(20) {
		if p := place(); !seen[p] {
			seen[p] = true
			points = append(points, tin.Point{E: p[0], N: p[1], Level: 10 + 0.5*float64(rng.IntN(5))})
		}
	}
	for { // a random star round a place is simple
		c := place()
		var ring orb.Ring
		n := 3 + rng.IntN(5)
		for i := range n {
			s, co := math.Sincos(2 * math.Pi * (float64(i) + 0.3*rng.Float64()) / float64(n))
			r := step * (1 + 2*rng.Float64())
			p := orb.Point{c[0] + r*co, c[1] + r*s}
			if rng.IntN(2) == 0 {
				p = orb.Point{offset + step*math.Round((p[0]-offset)/step), offset + step*math.Round((p[1]-offset)/step)}
			}
			ring = append(ring, p)
		}
		outline = orb.Polygon{append(ring, ring[0])}
		if tin.CheckOutline(outline) == nil {
			break
		}
	}
	plane = tin.LevelPlane(10 + 0.25*float64(rng.IntN(9)))
	if rng.IntN(2) == 0 {
		plane = tin.FallingPlane(place(), plane.Level, 0.02*float64(rng.IntN(10)), []float64{0, 90, 45, 211.7}[rng.IntN(4)])
	}
	return points, outline, plane
}

func TestAgainstRationals(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	jobs, moved := 0, 0
	for jobs < 200 {
		points, outline, plane := randomJob(rng)
		ground, err := tin.FromPoints(points)
		if err != nil {
			continue // all in line
		}
		jobs++
		got, err := volume.AgainstPlane(t.Context(), ground, plane, outline)
		require.NoError(t, err)
		want := rational{ground.Frame(), plane}.measure(ground, outline)
		cut, _ := want.cut.Float64()
		fill, _ := want.fill.Float64()
		cutArea, _ := want.cutArea.Float64()
		fillArea, _ := want.fillArea.Float64()
		if cut > 0 && fill > 0 {
			moved++
		}
		near := func(what string, got, want, scale float64) {
			t.Helper()
			if math.Abs(got-want) > 1e-12*scale {
				t.Errorf("job %d: %s %v, want %v (%.1e relative)", jobs, what, got, want, math.Abs(got-want)/scale)
			}
		}
		near("cut", got.Cut, cut, cut)
		near("fill", got.Fill, fill, fill)
		near("cut less fill", got.CutLessFill, cut-fill, cut+fill)
		near("cut area", got.CutArea, cutArea, cutArea+fillArea)
		near("fill area", got.FillArea, fillArea, cutArea+fillArea)
	}
	require.Greater(t, moved, 50, "jobs with both cut and fill")
}
