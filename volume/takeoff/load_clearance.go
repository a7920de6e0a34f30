package takeoff

import (
	"fmt"
	"io"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/geojson"
	"barrow/volume/takeoff/internal/tomltree"
)

const clearanceExample = `shape = "lot.geojson", or an outline, or { line = [[E, N], ...] }, or { point = "T1" }`

// clearance reads a shape that the works must stay inside or outside of.
func (l *loader) clearance(n *tomltree.Node) {
	c := Clearance{Name: l.text(l.need(n, "name", `name = "site boundary"`), `name = "site boundary"`)}
	c.Inside = l.word(l.need(n, "stay", `stay = "inside" or "outside"`), StayInside, StayOutside) == StayInside
	c.Distance = l.distance(n.Get("distance"), "distance = 0.5", nil)
	l.clearanceShape(l.need(n, "shape", clearanceExample), &c)
	if l.err != nil {
		return
	}
	l.job.Clearances = append(l.job.Clearances, c)
	if e := asInputError(l.job.checkClearance(len(l.job.Clearances) - 1)); e != nil {
		l.err = l.job.placed(e)
	}
}

// clearanceShape reads an outline in any of its forms, a file of any kind of shape, or a
// line or a point.
func (l *loader) clearanceShape(n *tomltree.Node, c *Clearance) {
	if n == nil || l.err != nil {
		return
	}
	if n.Kind == tomltree.Table {
		switch {
		case n.Get("line") != nil:
			l.onlyKeys(n, "line", "columns", "units")
			c.Lines = orb.MultiLineString{l.clearanceLine(n)}
			return
		case n.Get("point") != nil:
			l.onlyKeys(n, "point")
			c.Points = orb.MultiPoint{l.place(n.Get("point"))}
			return
		}
	}
	if l.err == nil && (n.Kind == tomltree.String || n.Get("file") != nil) {
		if f := l.dataFile(n, clearanceExample); f.kind == geoJSON || f.kind == landXML && f.surface == "" {
			l.clearanceFile(f, c)
			return
		}
	}
	c.Area = l.area(n)
}

// clearanceLine reads a line of places, or a point file with them in order: the key
// line of n, beside which more may be said of the file.
func (l *loader) clearanceLine(n *tomltree.Node) (line orb.LineString) {
	const example = `line = [[E, N], "S2", ...], or "gas.csv"`
	at := n.Get("line")
	if l.err != nil {
		return nil
	}
	if at.Kind == tomltree.String {
		f := l.dataFile(at, example)
		if f.kind == geoJSON || f.kind == landXML {
			l.fail(at, codeBadValue, f.kind.String()+" says itself that it holds a line", fmt.Sprintf("write shape = %q", at.Text))
		}
		l.sayMore(n, "line", &f, false)
		return l.alignmentFile(f)
	}
	for _, key := range []string{"columns", "units"} {
		if more := n.Get(key); more != nil {
			l.fail(more, codeUnknownKey, key+" go with a point file", "take it out")
		}
	}
	if !l.want(at, tomltree.Array, example) {
		return nil
	}
	return l.linePlaces(at)
}

// linePlaces reads a list of places.
func (l *loader) linePlaces(n *tomltree.Node) (line orb.LineString) {
	if err := l.budget.vertices("", len(n.Items)); err != nil {
		l.failWith(n, err)
		return nil
	}
	for _, item := range n.Items {
		line = append(line, l.place(item))
	}
	return line
}

// clearanceFile reads the features of a file, of any kind of shape.
func (l *loader) clearanceFile(f dataFile, c *Clearance) {
	l.read(f.at, f.name, func(r io.Reader) (in Input, err error) {
		if f.kind == landXML {
			return l.xmlClearance(r, &f, c)
		}
		var own tin.Unit
		shapes, err := geojson.ReadShapes(r, f.name, l.geoOptions(f.name, &own))
		if err != nil {
			return in, l.wholeVertices(f.name, err)
		}
		in.Points = c.add(shapes, &f)
		u, err := l.takeVertices(&f, own, &in)
		c.convert(&u)
		return in, err
	})
	if l.err == nil && len(c.Area)+len(c.Lines)+len(c.Points) == 0 {
		l.noneNamed(&f, "shape")
	}
}

// convert turns a shape into the job's unit where it stands.
func (c *Clearance) convert(u *fileUnits) {
	u.polygons(c.Area...)
	for _, line := range c.Lines {
		u.ring(line)
	}
	u.ring(c.Points)
}

// add takes shapes, those of the file's name if one is given, and counts their vertices.
func (c *Clearance) add(shapes geojson.Shapes, f *dataFile) (vertices int) {
	for _, a := range shapes.Areas {
		if f.takes(a.Name) {
			c.Area = append(c.Area, a.Polygon)
			for _, ring := range a.Polygon {
				vertices += len(openRing(ring))
			}
		}
	}
	for _, b := range shapes.Lines {
		if f.takes(b.Name) {
			c.Lines = append(c.Lines, lineThrough(b.Vertices))
			vertices += len(b.Vertices)
		}
	}
	for _, p := range shapes.Points {
		if f.takes(p.Name) {
			c.Points = append(c.Points, orb.Point{p.E, p.N})
			vertices++
		}
	}
	return vertices
}
