package takeoff

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// rimEdge is a side of a triangle of the works that no other triangle of its surface
// lies beside.
type rimEdge struct{ from, to tin.Vertex }

// plan returns the places of its ends, from the lesser by easting, then northing.
func (e rimEdge) plan() [4]float64 {
	if e.to.E < e.from.E || e.to.E == e.from.E && e.to.N < e.from.N {
		return [4]float64{e.to.E, e.to.N, e.from.E, e.from.N}
	}
	return [4]float64{e.from.E, e.from.N, e.to.E, e.to.N}
}

// upright adds up where the works end at upright faces.
type upright struct {
	length, beyond tin.Sum // beyond: where there is no ground beside the works
	height         float64 // metres
	at             orb.Point
}

// rims looks along the rims of the works for upright faces: against the other surfaces of
// the works where they are parted, else against the ground less its topsoil.
func (s *surfacing) rims() error {
	beside := make(map[[4]float64][]rimEdge)
	var edges []rimEdge
	for _, works := range s.worksOf {
		for t, side := range works.Rim() {
			c := works.Triangle(t).Corner
			e := rimEdge{c[side], c[(side+1)%3]}
			beside[e.plan()] = append(beside[e.plan()], e)
			edges = append(edges, e)
		}
	}
	var u upright
	for _, e := range edges {
		if err := s.run.ctx.Err(); err != nil {
			return err
		}
		switch other := beside[e.plan()]; {
		case len(other) == 1:
			s.againstGround(&u, e)
		case other[0] == e: // each pair once
			u.add(e, max(math.Abs(e.from.Level-other[1].to.Level), math.Abs(e.to.Level-other[1].from.Level)))
		}
	}
	s.noteUpright(&u)
	return nil
}

// againstGround holds an edge of the works against the ground beside it, at its ends and
// in its middle.
func (s *surfacing) againstGround(u *upright, e rimEdge) {
	step, known := 0.0, 0
	for k := range 3 {
		t := float64(k) / 2
		off, ok := s.aboveGround(tin.Vertex{
			E: e.from.E + t*(e.to.E-e.from.E), N: e.from.N + t*(e.to.N-e.from.N), Level: e.from.Level + t*(e.to.Level-e.from.Level)})
		if ok {
			known++
			step = max(step, off)
		}
	}
	if known < 3 {
		u.beyond.Add(math.Hypot(e.to.E-e.from.E, e.to.N-e.from.N))
		return
	}
	u.add(e, step)
}

// aboveGround returns how far a place of the works is from the ground less its topsoil,
// above or below; where that has two levels, from the nearer.
func (s *surfacing) aboveGround(v tin.Vertex) (off float64, ok bool) {
	off = math.Inf(1)
	for _, p := range s.soilParts {
		if level, found := p.surface.LevelAt(v.E, v.N); found {
			off, ok = min(off, math.Abs(level-v.Level)), true
		}
	}
	return off, ok
}

func (u *upright) add(e rimEdge, height float64) {
	if height < leastUpright {
		return
	}
	u.length.Add(math.Hypot(e.to.E-e.from.E, e.to.N-e.from.N))
	if height > u.height {
		u.height, u.at = height, orb.Point{(e.from.E + e.to.E) / 2, (e.from.N + e.to.N) / 2}
	}
}

func (s *surfacing) noteUpright(u *upright) {
	if u.height > 0 {
		s.notes = append(s.notes, tin.Problem{Code: NoteUpright, At: &u.at, Message: fmt.Sprintf(
			"the works end at upright faces along %s, up to %.2f %s high: a surface of triangles has none, so the works and the ground are not joined there",
			s.run.length(u.length.Value()/s.run.scale), u.height/s.run.unit, s.res.Units.Length)})
	}
	if u.beyond.Value() > 0 {
		s.notes = append(s.notes, tin.Problem{Code: NoteNoGroundBeside, Message: fmt.Sprintf(
			"the works end along %s where there is no surveyed ground beside them", s.run.length(u.beyond.Value()/s.run.scale))})
	}
}
