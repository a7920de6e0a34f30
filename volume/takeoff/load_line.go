package takeoff

import (
	"fmt"
	"io"
	"math"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

const linesExample = `breaklines = ["bank.geojson"], or [ [[E, N, level], [E, N, level]] ]`

// breaklines reads a list whose items are files of lines or lines of [E, N,
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
	file := func(n *tomltree.Node) {
		f := l.dataFile(n, linesExample)
		add(f.name, l.lineFile(f, "breaklines are read from .geojson and .xml files; lines in a point file are named with line_codes")...)
	}
	if n.Kind == tomltree.String || n.Kind == tomltree.Table {
		file(n)
		return lines
	}
	if !l.want(n, tomltree.Array, linesExample) {
		return nil
	}
	for _, item := range n.Items {
		switch item.Kind {
		case tomltree.String, tomltree.Table:
			file(item)
		case tomltree.Array:
			add(l.name, tin.Breakline{Name: item.Key, Vertices: l.vertices(item)})
		default:
			l.fail(item, codeWrongType, fmt.Sprintf("this is %s, wanted a line", item.Kind), "write it like "+linesExample)
		}
	}
	return lines
}

// lineFile reads the lines of a file: those of a name, if one is given. instead says
// where else lines may stand.
func (l *loader) lineFile(f dataFile, instead string) (lines []tin.Breakline) {
	if l.err == nil && f.kind != geoJSON && f.kind != landXML {
		l.fail(f.at, codeBadValue, fmt.Sprintf("%q is no file of lines: it is neither GeoJSON nor LandXML", f.name), instead)
	}
	l.read(f.at, f.name, func(r io.Reader) (in Input, err error) {
		if f.kind == landXML {
			lines, in, err = l.xmlLines(r, &f)
		} else {
			lines, in, err = l.geoLines(r, &f)
		}
		return in, err
	})
	if l.err == nil && len(lines) == 0 {
		l.noneNamed(&f, "line")
	}
	return lines
}

// noneNamed is the error where a file has nothing of the name, or nothing of the kind.
func (l *loader) noneNamed(f *dataFile, what string) {
	switch {
	case f.only != "":
		l.fail(f.at, codeBadValue, fmt.Sprintf("no %s in the file is named %q", what, f.only), "names are those of the file's features")
	case f.surface != "":
		l.fail(f.at, codeBadValue, fmt.Sprintf("the surface %q has no such %s", f.surface, what), "leave surface out for the file's features")
	default:
		l.fail(f.at, codeBadValue, fmt.Sprintf("the file holds no %s", what), "check that it is the right file")
	}
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
