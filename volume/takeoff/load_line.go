package takeoff

import (
	"fmt"
	"io"
	"math"
	"path"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

const linesExample = `breaklines = ["bank.geojson"], or [ [[E, N, level], [E, N, level]] ]`

// breaklines reads a list whose items are GeoJSON files or lines of [E, N,
// level]; a vertex without a level takes that of the spot it lies at. files, if
// not nil, is told which lines came from which file; what is typed is the job
// file's.
func (l *loader) breaklines(n *tomltree.Node, files *[]lineFile) (lines []tin.Breakline) {
	add := func(file string, more ...tin.Breakline) {
		if files != nil {
			*files = append(*files, lineFile{file, len(lines), len(lines) + len(more)})
		}
		lines = append(lines, more...)
	}
	if n.Kind == tomltree.String {
		add(path.Join(l.dir, n.Text), l.lineFile(n)...)
		return lines
	}
	if !l.want(n, tomltree.Array, linesExample) {
		return nil
	}
	for _, item := range n.Items {
		switch item.Kind {
		case tomltree.String:
			add(path.Join(l.dir, item.Text), l.lineFile(item)...)
		case tomltree.Array:
			add(l.name, tin.Breakline{Name: item.Key, Vertices: l.vertices(item)})
		default:
			l.fail(item, codeWrongType, fmt.Sprintf("this is %s, wanted a line", item.Kind), "write it like "+linesExample)
		}
	}
	return lines
}

func (l *loader) lineFile(n *tomltree.Node) (lines []tin.Breakline) {
	name := l.path(n, linesExample)
	if l.err == nil && !isGeoJSON(name) {
		l.fail(n, codeBadValue, fmt.Sprintf("%q is not a GeoJSON file", name),
			"breaklines are read from .geojson files; lines in a point file are named with line_codes")
	}
	l.read(n, name, func(r io.Reader) (points int, err error) {
		lines, err = l.geoLines(r, name)
		for _, b := range lines {
			points += len(b.Vertices)
		}
		if err == nil {
			err = l.budget.vertices(name, points)
		}
		return points, err
	})
	return lines
}

// vertices reads [[E, N, level], ...] or [[E, N], ...].
func (l *loader) vertices(n *tomltree.Node) []tin.Point {
	if !l.want(n, tomltree.Array, "[[E, N, level], ...]") {
		return nil
	}
	if err := l.budget.vertices("", len(n.Items)); err != nil {
		l.failWith(n, err)
		return nil
	}
	points := make([]tin.Point, 0, len(n.Items))
	for _, item := range n.Items {
		c := l.numbers(item, 2, 3, "[312540.0, 5812300.0, 62.35], easting, northing, level")
		if l.err != nil {
			return nil
		}
		p := tin.Point{E: c[0], N: c[1], Level: math.NaN(), Line: int32(item.Line)}
		if len(c) == 3 {
			p.Level = c[2]
		}
		points = append(points, p)
	}
	return points
}
