package tin

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// splitBreaklines makes the segments of all breaklines and splits them where
// they cross: the crossing is a new place, its level the mean of the lines'
// levels there.
func (b *builder) splitBreaklines() error {
	short := 0
	var firstShort int32
	for k := range b.blocks {
		bl := &b.blocks[k]
		if bl.line < 0 {
			continue
		}
		if len(bl.points) < 2 {
			return &InputError{
				Code: "breakline_short", File: b.sources[bl.source].Name, Line: lineOf(bl.points),
				Message: fmt.Sprintf("%s has %s", b.lineName(bl), count(len(bl.points), "vertex")),
				Hint:    "a breakline needs at least two",
			}
		}
		for i := 1; i < len(bl.points); i++ {
			c := chain{int32(bl.start + i - 1), int32(bl.start + i)}
			if b.at[c.from] == b.at[c.to] {
				if short == 0 {
					firstShort = c.to
				}
				short++
				continue
			}
			b.graph.join(b.at[c.from], b.at[c.to], int32(len(b.chains)))
			b.chains = append(b.chains, c)
		}
	}
	if short > 0 {
		b.note("breakline_repeat", firstShort, "%s of breaklines repeated at the same place, the first in %s",
			count(short, "vertex"), b.describe(firstShort))
	}
	if len(b.graph.segments) == 0 {
		return nil
	}
	b.graph.index = make(map[mesh.XY]int32, len(b.graph.at))
	for v, p := range b.graph.at {
		b.graph.index[p] = int32(v)
	}
	cross := crossings{at: make(map[mesh.XY]map[chain]float64)}
	err := b.graph.splitCrossings(b.frame.whole, func(s, r segment, c mesh.Crossing) error {
		return b.meet(&cross, s, r, c)
	}, func(s segment, v int32) error {
		return b.touch(&cross, s, v)
	})
	if err != nil {
		return b.tangled(err)
	}
	b.settleCrossings(&cross)
	return nil
}

// crossings holds the levels of the lines that meet at each crossing, by the
// places between which the line was given: given twice, it counts once.
type crossings struct {
	at    map[mesh.XY]map[chain]float64
	first [2]int32  // inputs of the two lines that were found crossing first
	place orb.Point // where, metres
}

// meet checks the levels of two segments at their crossing.
func (b *builder) meet(cross *crossings, s, r segment, c mesh.Crossing) error {
	zs, zr := b.levelAlong(s.line, c.X, c.Y), b.levelAlong(r.line, c.X, c.Y)
	if math.Abs(zs-zr) > b.tolerance+levelSlack {
		return b.crossingError(s.line, r.line, zs, zr, c)
	}
	p := mesh.XY{X: settle(c.X), Y: settle(c.Y)}
	if v, ok := b.graph.index[p]; ok && int(v) < len(b.first) {
		// A place of the survey keeps its level.
		return cmp.Or(
			b.onLine(s.line, p, b.levels[v], b.first[v]),
			b.onLine(r.line, p, b.levels[v], b.first[v]))
	}
	if cross.at[p] == nil {
		cross.at[p] = make(map[chain]float64)
	}
	cross.at[p][b.places(s.line)], cross.at[p][b.places(r.line)] = zs, zr
	if len(cross.at) == 1 {
		cross.first = [2]int32{b.chains[s.line].from, b.chains[r.line].from}
		cross.place = b.frame.Metres(p.X, p.Y)
	}
	return nil
}

// touch checks the level of a place on a segment that is cut there; a crossing
// takes the segment's level into its own.
func (b *builder) touch(cross *crossings, s segment, v int32) error {
	p := b.graph.at[v]
	if int(v) < len(b.first) {
		return b.onLine(s.line, p, b.levels[v], b.first[v])
	}
	cross.at[p][b.places(s.line)] = b.levelAlong(s.line, p.X, p.Y)
	return nil
}

// settleCrossings gives each crossing its level.
func (b *builder) settleCrossings(cross *crossings) {
	given := len(b.levels)
	b.crossed = make(map[int32][]LevelShare)
	for _, p := range b.graph.at[given:] {
		levels := slices.Collect(maps.Values(cross.at[p]))
		b.crossed[int32(len(b.levels))] = b.sharesOf(p, cross.at[p])
		b.levels = append(b.levels, meanOf(levels))
		b.first = append(b.first, -1)
	}
	if n := len(b.levels) - given; n > 0 {
		b.notes = append(b.notes, Problem{Code: "breaklines_cross", At: &cross.place, Message: fmt.Sprintf(
			"breaklines cross at %s and were split there, the first %s with %s",
			count(n, "place"), b.describe(cross.first[0]), b.describe(cross.first[1]))})
	}
}

// places returns the places of a segment as given, the lesser by (x, y) first,
// so that direction does not show.
func (b *builder) places(line int32) chain {
	c := b.chains[line]
	p, q := b.at[c.from], b.at[c.to]
	if b.graph.at[q].Before(b.graph.at[p]) {
		p, q = q, p
	}
	return chain{p, q}
}

// levelAlong returns the level of a segment as given at a local point on it.
func (b *builder) levelAlong(line int32, x, y float64) float64 {
	c := b.places(line)
	t := b.alongChain(c, x, y)
	return b.levels[c.from] + float64(t*(b.levels[c.to]-b.levels[c.from]))
}

// alongChain returns how far along from one place to another a local point between
// them lies, from 0 to 1.
func (b *builder) alongChain(c chain, x, y float64) float64 {
	from, to := b.graph.at[c.from], b.graph.at[c.to]
	if math.Abs(to.Y-from.Y) > math.Abs(to.X-from.X) {
		return (y - from.Y) / (to.Y - from.Y)
	}
	return (x - from.X) / (to.X - from.X)
}

func (b *builder) crossingError(s, r int32, zs, zr float64, c mesh.Crossing) error {
	p, bp := b.input(b.chains[s].from)
	q, bq := b.input(b.chains[r].from)
	if bp.start > bq.start {
		p, q, bp, bq, zs, zr = q, p, bq, bp, zr, zs
	}
	at := b.frame.Metres(c.X, c.Y)
	return &InputError{
		Code: "crossing_levels", File: b.sources[bq.source].Name, Line: int(q.Line), At: &at,
		Message: fmt.Sprintf("%s crosses %s at %s with level %s against %s, over the tolerance of %s",
			b.lineName(bq), b.describeIn(p, bp, bq.source), b.whereabouts(at), b.length(zr), b.length(zs), b.bound(b.tolerance)),
		Hint: "correct the levels, cut one of the lines, or set crossing_tolerance",
	}
}

func (b *builder) tangled(err error) error {
	var t *tangledError
	if !errors.As(err, &t) {
		return err
	}
	p, bp := b.input(b.chains[t.s.line].from)
	q, bq := b.input(b.chains[t.r.line].from)
	return &InputError{
		Code: "breaklines_tangled", File: b.sources[bq.source].Name, Line: int(q.Line), Err: err,
		Message: fmt.Sprintf("%s and %s cross again and again when split", b.lineName(bq), b.describeIn(p, bp, bq.source)),
		Hint:    "take one of them out, or draw them apart",
	}
}

// force makes the breaklines edges of the mesh and checks the level of every
// vertex that lies exactly on one.
func (b *builder) force() error {
	if len(b.graph.segments) == 0 {
		return nil
	}
	// Until now places had numbers of their own; levelAlong still uses them.
	for n, s := range b.graph.segments {
		if err := b.ended(n); err != nil {
			return err
		}
		through, crossed := b.mesh.Force(s.a, s.b, mesh.LineEdge)
		if crossed != nil {
			if face, ok := b.faceWith(crossed[0], crossed[1]); ok {
				return b.lineAcross(s, face, *crossed)
			}
			return b.tangled(&tangledError{s, b.lineAt(*crossed, s)})
		}
		for _, v := range through {
			if err := b.onLine(s.line, b.mesh.P[v], b.level[v], b.first[v]); err != nil {
				return err
			}
		}
	}
	b.mesh.Settle()
	b.hull = b.mesh.Border()
	return nil
}

// lineAt returns the segment that was forced along an edge, or s.
func (b *builder) lineAt(edge [2]int32, s segment) segment {
	for _, r := range b.graph.segments {
		if b.mesh.Orient(r.a, r.b, edge[0]) == 0 && b.mesh.Orient(r.a, r.b, edge[1]) == 0 {
			return r
		}
	}
	return s
}

// onLine checks the level of a place on a breakline, that of an input or of a
// crossing (-1), against the line's.
func (b *builder) onLine(line int32, p mesh.XY, level float64, input int32) error {
	z := b.levelAlong(line, p.X, p.Y)
	if math.Abs(z-level) <= b.tolerance+levelSlack {
		return nil
	}
	c := b.chains[line]
	from, bl := b.input(c.from)
	what := "a crossing"
	if input >= 0 {
		spot, block := b.input(input)
		what = b.describeIn(spot, block, bl.source)
	}
	at := b.frame.Metres(p.X, p.Y)
	return &InputError{
		Code: "breakline_level", File: b.sources[bl.source].Name, Line: int(from.Line), At: &at,
		Message: fmt.Sprintf("%s passes %s with level %s against %s, over the tolerance of %s",
			b.lineName(bl), what, b.length(z), b.length(level), b.bound(b.tolerance)),
		Hint: "correct one of the levels, or set crossing_tolerance",
	}
}

func lineOf(points []Point) int {
	if len(points) == 0 {
		return 0
	}
	return int(points[0].Line)
}
