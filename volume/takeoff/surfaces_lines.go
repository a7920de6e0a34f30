package takeoff

import (
	"fmt"
	"math"
	"strings"

	"barrow/tin"
)

// lines gathers the lines and the points of the pads.
func (s *surfacing) lines() {
	contours := s.res.Lines
	s.res.Lines = nil
	for i := range s.measured.Pads {
		p := &s.measured.Pads[i]
		s.outlines(p)
		s.levelLines(LineFormationOutline, p.Name, p.FormationOutline)
		s.levelLines(LineCrest, p.Name, p.Crest)
		s.levelLines(LineToe, p.Name, p.Toe)
		s.levelLines(LineZero, p.Name, p.ZeroLevels)
	}
	s.res.Lines = append(s.res.Lines, contours...)
}

// outlines adds the outline of a pad, ring by ring, with its formation levels.
func (s *surfacing) outlines(p *PadResult) {
	var ring []tin.Point
	for i, c := range p.Corners {
		if c.Ring < 0 {
			continue
		}
		ring = append(ring, tin.Point{E: c.At[0], N: c.At[1], Level: c.Formation})
		s.point(p.Name+" "+c.Name, LineOutline, ring[len(ring)-1])
		if i+1 == len(p.Corners) || p.Corners[i+1].Ring != c.Ring {
			s.res.Lines = append(s.res.Lines, LineResult{Kind: LineOutline, Pad: p.Name, Closed: true, Points: append(ring, ring[0])})
			ring = nil
		}
	}
}

// levelLines adds lines of a pad. Vertices of theirs are points too, as many as the line
// needs, but for the zero line, which nobody sets out.
func (s *surfacing) levelLines(kind, pad string, lines []LevelLine) {
	for k, line := range lines {
		if len(line) < 2 {
			continue
		}
		l := LineResult{Kind: kind, Pad: pad, Closed: line[0] == line[len(line)-1], Points: make([]tin.Point, len(line))}
		for i, p := range line {
			l.Points[i] = tin.Point{E: p[0], N: p[1], Level: p[2]}
		}
		s.res.Lines = append(s.res.Lines, l)
		if kind == LineZero {
			continue
		}
		points := thinned(l.Points, pointsApart/s.run.unit)
		if l.Closed {
			points = points[1:]
		}
		for i, p := range points {
			s.point(fmt.Sprintf("%s %s%d.%d", pad, strings.ToUpper(kind[:1]), k+1, i+1), kind, p)
		}
	}
}

// point adds a point under a name that no other has, unless one is at its place and level.
func (s *surfacing) point(name, lineKind string, p tin.Point) {
	at := Place3{p.E, p.N, p.Level}
	if s.placed[at] {
		return
	}
	s.placed[at] = true
	name = strings.TrimSpace(name)
	unlike := name
	for n := 2; s.named[unlike]; n++ {
		unlike = fmt.Sprintf("%s (%d)", name, n)
	}
	s.named[unlike] = true
	s.res.Points = append(s.res.Points, tin.Point{Name: unlike, Code: lineKind, E: p.E, N: p.N, Level: p.Level})
}

// thinned returns vertices of a line, its ends among them, so that all lie within a
// distance of the line through those (Ramer 1972; Douglas and Peucker 1973; from memory).
func thinned(line []tin.Point, within float64) []tin.Point {
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	for todo := [][2]int{{0, len(line) - 1}}; len(todo) > 0; {
		from, to := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		farthest, most := 0, within
		for i := from + 1; i < to; i++ {
			if d := offChord(line[from], line[to], line[i]); d > most {
				farthest, most = i, d
			}
		}
		if farthest > 0 {
			keep[farthest] = true
			todo = append(todo, [2]int{from, farthest}, [2]int{farthest, to})
		}
	}
	var out []tin.Point
	for i, p := range line {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// offChord returns the distance in space of a point from the chord from a to b.
func offChord(a, b, p tin.Point) float64 {
	u := [3]float64{b.E - a.E, b.N - a.N, b.Level - a.Level}
	v := [3]float64{p.E - a.E, p.N - a.N, p.Level - a.Level}
	along, length := 0.0, 0.0
	for i := range u {
		along += float64(u[i] * v[i])
		length += float64(u[i] * u[i])
	}
	t := 0.0
	if length > 0 {
		t = min(max(along/length, 0), 1)
	}
	off := 0.0
	for i := range u {
		d := v[i] - float64(t*u[i])
		off += float64(d * d)
	}
	return math.Sqrt(off)
}

// group counts the lines by their kind, in the order in which kinds come first.
func (s *surfacing) group() {
	at := make(map[string]int)
	lengths := make(map[string]*tin.Sum)
	for i := range s.res.Lines {
		l := &s.res.Lines[i]
		k, known := at[l.Kind]
		if !known {
			k = len(s.res.Groups)
			at[l.Kind], lengths[l.Kind] = k, &tin.Sum{}
			s.res.Groups = append(s.res.Groups, LineGroup{Kind: l.Kind})
		}
		s.res.Groups[k].Lines++
		s.res.Groups[k].Vertices += len(l.Points)
		for i := 1; i < len(l.Points); i++ {
			p, q := l.Points[i-1], l.Points[i]
			lengths[l.Kind].Add(math.Hypot(q.E-p.E, q.N-p.N))
		}
	}
	for k := range s.res.Groups {
		g := &s.res.Groups[k]
		g.Length = lengths[g.Kind].Value() / s.run.scale
	}
}

// contours draws those of the existing ground and of the works at the same levels.
func (s *surfacing) contours() error {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range s.res.Surfaces {
		low, high = min(low, s.res.Surfaces[i].LevelMin), max(high, s.res.Surfaces[i].LevelMax)
	}
	interval := s.opts.Contours
	if interval == 0 {
		if !(high > low) {
			return nil
		}
		interval = max(roundUp((high-low)/chosenContours, 1, 2, 5), 0.01)
	}
	if (high-low)/interval > mostContours {
		return badJob(codeContours, "contours", fmt.Sprintf("contours %s apart over %s of levels are more than %d",
			formatNumber(interval), s.run.length((high-low)*s.run.unit), mostContours), "give a greater length, or none")
	}
	s.res.ContourInterval = interval
	levels := newContourLevels(low, high, interval, s.run.unit)
	if err := s.contoursOf(LineGroundContour, s.built, levels); err != nil {
		return err
	}
	for _, works := range s.worksOf {
		if err := s.contoursOf(LineWorksContour, works, levels); err != nil {
			return err
		}
	}
	return nil
}

// contourLevels are the levels of contours in metres, and what multiple of the interval
// each is.
type contourLevels struct {
	metres   []float64
	number   map[float64]int
	interval float64 // in the job's unit
}

func newContourLevels(low, high, interval, unit float64) contourLevels {
	c := contourLevels{number: make(map[float64]int), interval: interval}
	for k := int(math.Ceil(low / interval)); c.level(k) <= high; k++ {
		z := c.level(k) * unit
		c.metres = append(c.metres, z)
		c.number[z] = k
	}
	return c
}

// level returns a multiple of the interval, to leastContours: the float64 nearest to the
// decimal if the interval is a decimal.
func (c contourLevels) level(k int) float64 {
	return math.Round(float64(k)*c.interval*1e6) / 1e6
}

func (s *surfacing) contoursOf(kind string, surface *tin.Surface, levels contourLevels) error {
	lines, err := surface.Contours(s.run.ctx, levels.metres, surface.Bound())
	if err != nil {
		return err
	}
	for _, l := range lines {
		k := levels.number[l.Level]
		level := levels.level(k)
		line := LineResult{Kind: kind, Level: &level, Index: k%5 == 0, Closed: l.Line[0] == l.Line[len(l.Line)-1]}
		for _, p := range l.Line {
			q := scalePoint(p, 1/s.run.unit)
			line.Points = append(line.Points, tin.Point{E: q[0], N: q[1], Level: level})
		}
		s.res.Lines = append(s.res.Lines, line)
	}
	return nil
}
