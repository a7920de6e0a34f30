package takeoff

import (
	"fmt"
	"io"

	"github.com/paulmach/orb"

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

// clearanceShape reads an outline in any of its forms, GeoJSON of any kind, or a
// line or a point.
func (l *loader) clearanceShape(n *tomltree.Node, c *Clearance) {
	if n == nil || l.err != nil {
		return
	}
	file, name := n, (*tomltree.Node)(nil)
	if n.Kind == tomltree.Table {
		switch {
		case n.Get("line") != nil:
			l.onlyKeys(n, "line", "columns")
			c.Lines = orb.MultiLineString{l.clearanceLine(n.Get("line"), n.Get("columns"))}
			return
		case n.Get("point") != nil:
			l.onlyKeys(n, "point")
			c.Points = orb.MultiPoint{l.place(n.Get("point"))}
			return
		case n.Get("file") != nil && n.Get("columns") == nil:
			l.onlyKeys(n, "file", "name")
			file, name = n.Get("file"), n.Get("name")
		}
	}
	if l.err == nil && file.Kind == tomltree.String && isGeoJSON(file.Text) {
		l.geoClearance(file, name, c)
		return
	}
	c.Area = l.area(n)
}

// clearanceLine reads a line of places, or a point file with them in order.
func (l *loader) clearanceLine(n, columns *tomltree.Node) (line orb.LineString) {
	const example = `line = [[E, N], "S2", ...], or "gas.csv"`
	if l.err != nil {
		return nil
	}
	if n.Kind == tomltree.String {
		if isGeoJSON(n.Text) {
			l.fail(n, codeBadValue, "a GeoJSON file says itself that it holds a line", fmt.Sprintf("write shape = %q", n.Text))
		}
		for _, s := range l.shapeFile(n, columns, nil) {
			line = orb.LineString(s.polygon[0])
		}
		return line
	}
	if columns != nil {
		l.fail(columns, codeUnknownKey, "columns go with a point file", "take it out")
	}
	if !l.want(n, tomltree.Array, example) {
		return nil
	}
	return l.linePlaces(n)
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

// geoClearance reads a GeoJSON file, of whose features only may name some.
func (l *loader) geoClearance(n, only *tomltree.Node, c *Clearance) {
	name, wanted := l.path(n, clearanceExample), l.text(only, `name = "gas main"`)
	l.read(n, name, func(r io.Reader) (points int, err error) {
		shapes, err := geojson.ReadShapes(r, name, l.geoOptions(name))
		if err != nil {
			return 0, l.wholeVertices(name, err)
		}
		points = c.add(shapes, wanted)
		return points, l.budget.vertices(name, points)
	})
	if l.err == nil && len(c.Area)+len(c.Lines)+len(c.Points) == 0 {
		l.fail(n, codeBadValue, fmt.Sprintf("nothing in the file is named %q", wanted), "names are the property \"name\" of its features")
	}
}

// add takes shapes, those of a name if one is given, and counts their vertices.
func (c *Clearance) add(shapes geojson.Shapes, wanted string) (vertices int) {
	for _, a := range shapes.Areas {
		if wanted != "" && a.Name != wanted {
			continue
		}
		c.Area = append(c.Area, a.Polygon)
		for _, ring := range a.Polygon {
			vertices += len(openRing(ring))
		}
	}
	for _, b := range shapes.Lines {
		if wanted != "" && b.Name != wanted {
			continue
		}
		var line orb.LineString
		for _, v := range b.Vertices {
			line = append(line, orb.Point{v.E, v.N})
		}
		c.Lines = append(c.Lines, line)
		vertices += len(line)
	}
	for _, p := range shapes.Points {
		if wanted == "" || p.Name == wanted {
			c.Points = append(c.Points, orb.Point{p.E, p.N})
			vertices++
		}
	}
	return vertices
}
