package tintest

import (
	"fmt"
	"math"
	"math/rand/v2"

	"barrow/tin"
)

// Set is a named set of spot heights in metres. Levels are rough, so that every
// triangle shows.
type Set struct {
	Name   string
	Points []tin.Point
	InLine bool // all on one line: no surface can be built of it
	Shared int  // points at the place (and level) of another one
}

func (s *Set) add(e, n float64) {
	i := len(s.Points)
	s.Points = append(s.Points, tin.Point{E: e, N: n, Level: 10 + 0.05*float64(i*7%11)})
}

// Sets returns point sets that careless geometry gets wrong: ties, points in
// line or nearly so, slivers, near-duplicates, uneven scales, decimals that are
// no doubles. None has more than 1,000 points. They are the same on every call.
func Sets() []Set {
	sets := []Set{
		{Name: "three spots", Points: []tin.Point{{E: 0, N: 0, Level: 1}, {E: 4, N: 0, Level: 2}, {E: 0, N: 3, Level: 3}}},
		Grid(2, 2, 10), Grid(12, 9, 1), Grid(2, 200, 5), Grid(200, 2, 5),
		Circle(1000, 50), LatticeCircle(1105), rings(),
		inLine(), inLineOnPaper(), oneOffLine(), cross(), nearlyInLine(),
		slivers(), nearDuplicates(), clusters(), outlier(), signedZeros(), powers(),
	}
	sets = append(sets, decimals()...)
	return append(sets, random()...)
}

// Grid is an exact grid of nx x ny spots: all ties.
func Grid(nx, ny int, step float64) Set {
	s := Set{Name: fmt.Sprintf("grid %d x %d", nx, ny)}
	for j := range ny {
		for i := range nx {
			s.add(float64(i)*step, float64(j)*step)
		}
	}
	return s
}

// Circle is n spots nearly on one circle, as near as doubles come.
func Circle(n int, radius float64) Set {
	s := Set{Name: fmt.Sprintf("circle of %d", n)}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		s.add(radius*cos, radius*sin)
	}
	return s
}

// LatticeCircle is the spots with whole coordinates exactly on the circle round
// the origin whose radius is given: 108 of them for 1105 = 5 x 13 x 17, 972 for
// 1185665 = 5 x 13 x 17 x 29 x 37.
func LatticeCircle(radius int) Set {
	s := Set{Name: fmt.Sprintf("whole points on a circle of %d", radius)}
	for x := -radius; x <= radius; x++ {
		square := radius*radius - x*x
		y := int(math.Round(math.Sqrt(float64(square))))
		if y*y != square {
			continue
		}
		s.add(float64(x), float64(y))
		if y > 0 {
			s.add(float64(x), float64(-y))
		}
	}
	return s
}

func rings() Set {
	s := Set{Name: "rings round one centre"}
	s.add(0, 0)
	for _, radius := range []int{5, 25, 65} {
		for _, p := range LatticeCircle(radius).Points {
			s.add(p.E, p.N)
		}
	}
	return s
}

func inLine() Set {
	s := Set{Name: "in line", InLine: true}
	for i := range 200 {
		s.add(float64(3*i), float64(7*i))
	}
	return s
}

// inLineOnPaper is in line in decimals; the doubles nearest to them are not.
func inLineOnPaper() Set {
	s := Set{Name: "in line on paper", InLine: true}
	for i := range 200 {
		s.add((500000*1000+float64(123*i))/1000, (6200000*1000+float64(457*i))/1000)
	}
	return s
}

func oneOffLine() Set {
	s := inLine()
	s.Name, s.InLine = "all but one in line", false
	s.add(1, 0)
	return s
}

func cross() Set {
	s := Set{Name: "two lines crossed"}
	for i := -40; i <= 40; i++ {
		s.add(float64(i), 0)
		if i != 0 {
			s.add(0, float64(i))
		}
	}
	return s
}

func nearlyInLine() Set {
	rng := rand.New(rand.NewPCG(21, 1))
	s := Set{Name: "nearly in line"}
	for i := range 300 {
		t := float64(i)
		s.add(0.37*t+1e-9*rng.Float64(), 0.61*t+1e-9*rng.Float64())
	}
	return s
}

func slivers() Set {
	s := Set{Name: "slivers of 1e-9"}
	s.add(0, 0)
	s.add(1000, 0)
	for i := range 40 {
		s.add(500+0.25*float64(i), 1e-9*float64(i+1))
	}
	return s
}

func nearDuplicates() Set {
	rng := rand.New(rand.NewPCG(21, 2))
	s := Set{Name: "near-duplicates"}
	for range 150 {
		e, n := 10*rng.Float64(), 10*rng.Float64()
		s.add(e, n)
		s.add(math.Nextafter(e, 11), n)
		s.add(e+1e-12, n-1e-12)
	}
	return s
}

func clusters() Set {
	rng := rand.New(rand.NewPCG(21, 3))
	s := Set{Name: "clusters of a micrometre"}
	for i := range 8 {
		e, n := 100*float64(i%3), 100*float64(i/3)
		for range 60 {
			s.add(e+1e-6*rng.Float64(), n+1e-6*rng.Float64())
		}
	}
	return s
}

func outlier() Set {
	s := Grid(10, 10, 1)
	s.Name = "one far outlier"
	s.add(9e8, -7e8)
	return s
}

// signedZeros has 0 and -0 in all pairings: one place.
func signedZeros() Set {
	s := Set{Name: "signed zeros", Shared: 3}
	minus := math.Copysign(0, -1)
	for _, p := range [][2]float64{{0, 0}, {minus, 0}, {0, minus}, {minus, minus}} {
		s.Points = append(s.Points, tin.Point{E: p[0], N: p[1], Level: 10})
	}
	s.add(1, minus)
	s.add(minus, 1)
	s.add(-1, 0)
	return s
}

// powers has coordinates of very uneven size.
func powers() Set {
	s := Set{Name: "powers of ten"}
	s.add(0, 0)
	for i := -9; i <= 8; i++ {
		r := math.Pow(10, float64(i))
		s.add(r, 0)
		s.add(0, r)
		s.add(-r, r/3)
	}
	return s
}

// decimals are coordinates as survey files hold them.
func decimals() []Set {
	rng := rand.New(rand.NewPCG(21, 4))
	tenths := Set{Name: "grid of tenths"}
	offset := Set{Name: "grid of tenths at map offsets"}
	survey := Set{Name: "millimetres at map offsets"}
	for i := range 15 {
		for j := range 15 {
			tenths.add(float64(i)/10, float64(j)/10)
			offset.add(float64(5000000+i)/10, float64(62000000+j)/10)
		}
	}
	for range 500 {
		survey.add((500000000+float64(rng.IntN(60000)))/1000, (6200000000+float64(rng.IntN(60000)))/1000)
	}
	return []Set{tenths, offset, survey}
}

// random are coordinates with full mantissas.
func random() []Set {
	rng := rand.New(rand.NewPCG(21, 5))
	uniform := Set{Name: "uniform"}
	offset := Set{Name: "uniform at map offsets"}
	turned := Set{Name: "grid turned by 30 degrees"}
	for range 500 {
		uniform.add(100*rng.Float64(), 100*rng.Float64())
		offset.add(500000+100*rng.Float64(), 6.2e6+100*rng.Float64())
	}
	sin, cos := math.Sincos(math.Pi / 6)
	for i := range 25 {
		for j := range 25 {
			x, y := float64(i), float64(j)
			turned.add(float64(cos*x)-float64(sin*y), float64(sin*x)+float64(cos*y))
		}
	}
	return []Set{uniform, offset, turned}
}
