package takeoff

import (
	"cmp"
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// fileUnits turn the numbers of one file into the job's unit.
type fileUnits struct {
	plan, level converter
	written     tin.Unit // of plan coordinates, where it is not the job's; else 0
	levels      tin.Unit // of levels, where it is not that of plan coordinates; else 0
}

// none reports whether nothing is to be converted.
func (u *fileUnits) none() bool { return u.plan.ratio == nil && u.level.ratio == nil }

// into tells an input its units.
func (u *fileUnits) into(in *Input) {
	if u.written != 0 {
		in.Units = u.written.String()
	}
	if u.levels != 0 {
		in.LevelUnits = u.levels.String()
	}
}

// unitsOf settles what a file's numbers are in: what the file says itself of its plan
// coordinates and its levels, 0 for nothing; else what the job says of the file; else
// the job's unit. A job that contradicts the file is an error.
func (l *loader) unitsOf(f *dataFile, plan, level tin.Unit) (u fileUnits, err error) {
	says := "as the job states"
	if plan != 0 || level != 0 {
		says = "as the file states"
	}
	plan = cmp.Or(plan, f.stated, l.job.Units)
	level = cmp.Or(level, plan)
	for _, is := range []tin.Unit{plan, level} {
		if f.stated != 0 && !sameUnit(f.stated, is) {
			l.fail(f.units, codeUnitsContradict, fmt.Sprintf("%s says itself that it is in %s, and not in %s", f.name, is, f.stated),
				"take units out: a file that says what it is in is converted")
			return u, l.err
		}
	}
	u = fileUnits{plan: newConverter(plan, l.job.Units), level: newConverter(level, l.job.Units)}
	if u.none() {
		return u, nil
	}
	if u.plan.ratio != nil {
		u.written = plan
	}
	words := plan.String()
	if !sameUnit(plan, level) {
		u.levels = level
		words = fmt.Sprintf("%s, levels in %s", plan, level)
	}
	l.note(NoteUnitsConverted, "%s: in %s, %s; converted to %s", f.name, words, says, l.job.Units)
	return u, nil
}

func (l *loader) note(code, format string, args ...any) {
	l.job.Notes = append(l.job.Notes, tin.Problem{Code: code, Message: fmt.Sprintf(format, args...)})
}

// longPoints converts many points where they stand, unless ctx ends.
func (u *fileUnits) longPoints(ctx context.Context, points []tin.Point) error {
	const some = 1 << 16
	for len(points) > 0 {
		n := min(len(points), some)
		u.points(points[:n])
		points = points[n:]
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	return nil
}

// points converts points where they stand.
func (u *fileUnits) points(points []tin.Point) {
	if u.none() {
		return
	}
	for i := range points {
		p := &points[i]
		p.E, p.N, p.Level = u.plan.of(p.E), u.plan.of(p.N), u.level.of(p.Level)
	}
}

func (u *fileUnits) lines(lines []tin.Breakline) {
	for _, b := range lines {
		u.points(b.Vertices)
	}
}

func (u *fileUnits) ring(ring []orb.Point) {
	for i, p := range ring {
		ring[i] = orb.Point{u.plan.of(p[0]), u.plan.of(p[1])}
	}
}

func (u *fileUnits) polygons(polygons ...orb.Polygon) {
	for _, p := range polygons {
		for _, ring := range p {
			u.ring(ring)
		}
	}
}

func (u *fileUnits) shapes(shapes []shape) {
	for _, s := range shapes {
		u.polygons(s.polygon)
		for _, levels := range s.levels {
			for i, z := range levels {
				levels[i] = u.level.of(z)
			}
		}
	}
}

// takeShapes counts the vertices of shapes from a file, which states a unit or none (0),
// and converts them.
func (l *loader) takeShapes(f *dataFile, own tin.Unit, shapes []shape) (in Input, err error) {
	for i := range shapes {
		shapes[i].typed = true
		for _, ring := range shapes[i].polygon {
			in.Points += len(ring)
		}
	}
	u, err := l.takeVertices(f, own, &in)
	u.shapes(shapes)
	return in, err
}

// takeLines does so with lines.
func (l *loader) takeLines(f *dataFile, own tin.Unit, lines []tin.Breakline) (in Input, err error) {
	for _, b := range lines {
		in.Points += len(b.Vertices)
	}
	u, err := l.takeVertices(f, own, &in)
	u.lines(lines)
	return in, err
}

// takeVertices counts the vertices of a file against the limit, and settles its unit.
func (l *loader) takeVertices(f *dataFile, own tin.Unit, in *Input) (u fileUnits, err error) {
	if err = l.budget.vertices(f.name, in.Points); err == nil {
		u, err = l.unitsOf(f, own, own)
	}
	u.into(in)
	return u, err
}
