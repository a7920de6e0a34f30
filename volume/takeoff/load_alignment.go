package takeoff

import (
	"fmt"
	"io"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

const alignmentExample = `line = "axis.geojson", or "axis.csv", or [[E, N], "P7", ...]`

// alignment reads a line along which sections are cut.
func (l *loader) alignment(n *tomltree.Node) {
	a := Alignment{Name: l.text(l.need(n, "name", `name = "centre line"`), `name = "centre line"`)}
	a.Line = l.alignmentLine(l.need(n, "line", alignmentExample))
	a.Start, _ = l.length(n.Get("start"), "start = 100.0")
	if i := n.Get("interval"); i != nil {
		a.Interval = l.above0(i, "interval = 10.0")
	}
	if r := n.Get("reach"); r != nil {
		a.Reach = l.above0(r, "reach = 30.0")
	}
	a.RunOut = l.word(n.Get("run_out"), RunOutAveraged, RunOutPyramid)
	a.Haul = l.haul(n.Get("haul"))
	if at := n.Get("at"); at != nil && l.want(at, tomltree.Array, "at = [12.5, 40.0]") {
		if err := l.budget.vertices("", len(at.Items)); err != nil {
			l.failWith(at, err)
		}
		for _, item := range at.Items {
			chainage, _ := l.length(item, "at = [12.5, 40.0]")
			a.At = append(a.At, chainage)
		}
	}
	if l.err != nil {
		return
	}
	l.job.Alignments = append(l.job.Alignments, a)
	if e := asInputError(l.job.checkAlignment(len(l.job.Alignments) - 1)); e != nil {
		l.err = l.job.placed(e)
	}
}

// above0 reads a length above 0.
func (l *loader) above0(n *tomltree.Node, example string) float64 {
	length := l.distance(n, example, nil)
	if l.err == nil && length == 0 {
		l.fail(n, codeBadValue, "a length of 0", "write it like "+example+", or leave it out")
	}
	return length
}

// alignmentLine reads a list of places, or a file of lines with one, or the one of a name,
// or a point file with the vertices in order.
func (l *loader) alignmentLine(n *tomltree.Node) orb.LineString {
	if n == nil || l.err != nil {
		return nil
	}
	switch n.Kind {
	case tomltree.String, tomltree.Table:
		return l.alignmentFile(l.dataFile(n, alignmentExample))
	case tomltree.Array:
		return l.linePlaces(n)
	}
	l.fail(n, codeWrongType, fmt.Sprintf("this is %s, wanted a line", n.Kind), "write it like "+alignmentExample)
	return nil
}

// alignmentFile reads a line of a file: the one it holds, or the one of a name.
func (l *loader) alignmentFile(f dataFile) (line orb.LineString) {
	if !f.kind.holdsLines() {
		l.wrongKind(&f, "lines", "point files, GeoJSON and LandXML")
	}
	l.read(f.at, f.name, func(r io.Reader) (in Input, err error) {
		switch f.kind {
		case geoJSON:
			line, in, err = l.oneLine(r, &f, l.geoLines)
		case landXML:
			line, in, err = l.oneLine(r, &f, l.xmlLines)
		default:
			line, in, err = l.pointLine(r, &f)
		}
		return in, err
	})
	return line
}

// oneLine reads the one line of a file, or the one of a name.
func (l *loader) oneLine(r io.Reader, f *dataFile, read func(io.Reader, *dataFile) ([]tin.Breakline, Input, error)) (orb.LineString, Input, error) {
	lines, in, err := read(r, f)
	if err != nil {
		return nil, in, err
	}
	if len(lines) != 1 {
		l.fail(f.at, codeBadValue, fmt.Sprintf("the file holds %s, and an alignment is one", countOf(len(lines), "such line")),
			`name the one: { file = "lines.geojson", name = "centre line" }, or put each into a file of its own`)
		return nil, in, l.err
	}
	return lineThrough(lines[0].Vertices), in, nil
}

// pointLine reads a point file with a line's vertices in order; the last may be the
// first again.
func (l *loader) pointLine(r io.Reader, f *dataFile) (orb.LineString, Input, error) {
	points, in, err := l.pointSpots(r, f)
	return lineThrough(points), in, err
}

func lineThrough(vertices []tin.Point) (line orb.LineString) {
	for _, v := range vertices {
		line = append(line, orb.Point{v.E, v.N})
	}
	return line
}
