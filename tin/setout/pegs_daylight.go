package setout

import (
	"context"
	"math"
	"sort"

	"github.com/paulmach/orb"
)

// daylight sets pegs out where batters meet the ground: square out from the stations of
// each side, and along the line that halves each outward corner. The first line that is
// met counts, if no outline stands before it.
func (f *finder) daylight(ctx context.Context) error {
	if len(f.o.Crest)+len(f.o.Toe) == 0 {
		return nil
	}
	for at := range neighbours(f.rings) {
		if err := ctx.Err(); err != nil {
			return err
		}
		s := at[1]
		if h, outward := s.halved(at[0]); outward {
			f.meet(&h, []station{{s.from.Name, 0}})
		}
		f.meet(s, f.stations(at))
	}
	return nil
}

// meet sets out what lies straight out from the stations of a side, which are ascending.
func (f *finder) meet(s *side, stations []station) {
	hits := make([]hit, len(stations))
	for i := range hits {
		hits[i].out = math.Inf(1)
	}
	l := looker{side: s, stations: stations, hits: hits}
	for _, ring := range f.o.Walls {
		for i := range ring {
			l.look(wall, over(ring[i]), over(ring[(i+1)%len(ring)]))
		}
	}
	for _, lines := range []struct {
		kind  Kind
		lines []Line
	}{{AtCrest, f.o.Crest}, {AtToe, f.o.Toe}} {
		for _, line := range lines.lines {
			for i := 1; i < len(line); i++ {
				l.look(lines.kind, line[i-1], line[i])
			}
		}
	}
	letter := map[Kind]string{AtCrest: " C", AtToe: " T"}
	for i, h := range hits {
		if letter[h.kind] == "" || h.out < nearCorner {
			continue
		}
		edge := s.at(stations[i].along)
		f.add(stations[i].name+letter[h.kind], Peg{Kind: h.kind, At: s.place(stations[i].along, h.out), Level: h.level, Edge: edge, Ring: s.ring, Side: s.index})
	}
}

// wall is the kind of a hit on an outline.
const wall Kind = "outline"

func over(p orb.Point) [3]float64 { return [3]float64{p[0], p[1], 0} }

// hit is the nearest line that is met straight out from a station.
type hit struct {
	kind  Kind
	out   float64
	level float64
}

// looker looks out from the stations of a side.
type looker struct {
	side     *side
	stations []station
	hits     []hit
}

// touching is how far a line may be from a station's own place and still be met there,
// in the unit of the outline; an outline as near is the side itself.
const touching = 1e-6

// look looks at the stretch of a line from a to b. Where two lines are met at one place
// a daylight line counts before an outline, and a crest before a toe.
func (l *looker) look(kind Kind, a, b [3]float64) {
	u0, v0 := l.side.local(orb.Point{a[0], a[1]})
	u1, v1 := l.side.local(orb.Point{b[0], b[1]})
	least := -touching
	if kind == wall {
		least = touching
	}
	if max(v0, v1) < least {
		return
	}
	low, high := min(u0, u1)-touching, max(u0, u1)+touching
	first := sort.Search(len(l.stations), func(i int) bool { return l.stations[i].along >= low })
	for i := first; i < len(l.stations) && l.stations[i].along <= high; i++ {
		k := 0.0
		switch {
		case math.Abs(u1-u0) > touching:
			k = min(max((l.stations[i].along-u0)/(u1-u0), 0), 1)
		case v1 < v0: // the stretch lies straight out: its nearer end
			k = 1
		}
		out := v0 + float64(k*(v1-v0))
		if math.Abs(u1-u0) <= touching {
			out = max(out, least) // it may begin at the station
		}
		if h := &l.hits[i]; out >= least && (out < h.out || out == h.out && h.kind == wall) {
			*h = hit{kind, max(out, 0), a[2] + float64(k*(b[2]-a[2]))}
		}
	}
}
