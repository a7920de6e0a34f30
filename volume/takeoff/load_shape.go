package takeoff

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

// shape is an outline as read, in the job's unit.
type shape struct {
	name    string      // in a file that names its polygons
	polygon orb.Polygon // rings as given, without a closing vertex
	corners []string    // of the outer ring; nil: numbered
	levels  [][]float64 // per ring and vertex; nil: the form has none; NaN where one is missing
	typed   bool        // given in coordinates, so that plan_to_site may turn it
}

const shapeExample = `"store.csv", or [[E, N], ...], or { points = ["P12", "P13", "P14"] }, or { corner = "P12", bearing = 73.5, length = 24.0, width = 12.0 }`

// area reads a boundary or the voids: one shape, or a list of them.
func (l *loader) area(n *tomltree.Node) orb.MultiPolygon {
	var area orb.MultiPolygon
	if n == nil || l.err != nil {
		return nil
	}
	if n.Kind == tomltree.Array && len(n.Items) > 0 && (n.Items[0].Kind == tomltree.String || n.Items[0].Kind == tomltree.Table) {
		for _, item := range n.Items {
			area = append(area, l.area(item)...)
		}
		return area
	}
	for _, s := range l.shapes(n) {
		if l.err == nil {
			l.failWith(n, l.job.checkOutline(s.polygon))
		}
		area = append(area, s.polygon)
	}
	return area
}

// shape reads exactly one.
func (l *loader) shape(n *tomltree.Node) shape {
	shapes := l.shapes(n)
	if l.err != nil {
		return shape{}
	}
	if len(shapes) != 1 {
		var names []string
		for _, s := range shapes[:min(len(shapes), 10)] {
			names = append(names, strconv.Quote(s.name))
		}
		l.fail(n, codeBadValue, fmt.Sprintf("the file holds %d polygons (%s), and an outline is one", len(shapes), strings.Join(names, ", ")),
			`name the one: { file = "pads.geojson", name = "store" }, or put each into a file of its own`)
		return shape{}
	}
	return shapes[0]
}

// shapes reads a shape in any of its forms; only a GeoJSON file holds several.
func (l *loader) shapes(n *tomltree.Node) []shape {
	if n == nil || l.err != nil {
		return nil
	}
	var s shape
	switch n.Kind {
	case tomltree.String:
		return l.shapeFile(n)
	case tomltree.Array:
		s = l.shapeList(n)
	case tomltree.Table:
		switch {
		case n.Get("file") != nil:
			return l.shapeFile(n)
		case n.Get("points") != nil:
			l.onlyKeys(n, "points")
			s = l.shapeOfSpots(n.Get("points"))
		case n.Get("corner") != nil:
			l.onlyKeys(n, "corner", "bearing", "length", "width")
			s = l.rectangle(n)
		default:
			l.fail(n, codeMissingKey, "a shape needs one of the keys file, points and corner", "write it like "+shapeExample)
		}
	default:
		l.fail(n, codeWrongType, fmt.Sprintf("this is %s, wanted a shape", n.Kind), "write it like "+shapeExample)
	}
	if l.err != nil {
		return nil
	}
	return []shape{s}
}

// onlyKeys refuses keys of another form of shape.
func (l *loader) onlyKeys(n *tomltree.Node, keys ...string) {
	for _, f := range n.Fields {
		if !strings.Contains(" "+strings.Join(keys, " ")+" ", " "+f.Name+" ") {
			l.fail(&tomltree.Node{Key: n.Child(f.Name), Line: f.Line, Column: f.Column}, codeUnknownKey,
				fmt.Sprintf("the key %q does not go with %q", f.Name, keys[0]), "with it go: "+strings.Join(keys, ", "))
			return
		}
	}
}

// shapeList reads [[E, N], ...], or a list of such rings, of which all but the
// first are holes.
func (l *loader) shapeList(n *tomltree.Node) shape {
	s := shape{typed: true}
	rings := []*tomltree.Node{n}
	if len(n.Items) > 0 && n.Items[0].Kind == tomltree.Array && len(n.Items[0].Items) > 0 && n.Items[0].Items[0].Kind == tomltree.Array {
		rings = n.Items
	}
	for _, r := range rings {
		if !l.want(r, tomltree.Array, "[[E, N], ...]") {
			return shape{}
		}
		if err := l.budget.vertices("", len(r.Items)); err != nil {
			l.failWith(r, err)
			return shape{}
		}
		ring := make(orb.Ring, len(r.Items))
		for i, item := range r.Items {
			ring[i] = l.coordinates(item)
		}
		s.polygon = append(s.polygon, openRing(ring))
	}
	return s
}

func (l *loader) shapeOfSpots(n *tomltree.Node) shape {
	if !l.want(n, tomltree.Array, `points = ["P12", "P13", "P14"]`) {
		return shape{}
	}
	if err := l.budget.vertices("", len(n.Items)); err != nil {
		l.failWith(n, err)
		return shape{}
	}
	s := shape{}
	var ring orb.Ring
	for _, item := range n.Items {
		p := l.spot(item)
		if l.err != nil {
			return shape{}
		}
		ring = append(ring, orb.Point{p.E, p.N})
		s.corners = append(s.corners, item.Text)
	}
	open := openRing(ring)
	s.corners = s.corners[:len(open)]
	s.polygon = orb.Polygon{open}
	return s
}

func (l *loader) rectangle(n *tomltree.Node) shape {
	corner := l.place(n.Get("corner"))
	bearing := l.number(l.need(n, "bearing", "bearing = 73.5, degrees clockwise from grid north"), "bearing = 73.5")
	length := l.distance(l.need(n, "length", "length = 24.0"), "length = 24.0", nil)
	width := l.distance(l.need(n, "width", "width = 12.0, to the right of the length"), "width = 12.0", nil)
	if l.err != nil {
		return shape{}
	}
	// Typed lengths are ground lengths, coordinates are on the grid. The
	// arithmetic knows no unit.
	k := l.job.scale()
	p, err := formation.Rectangle(corner, bearing, length*k, width*k)
	if err != nil {
		l.failWith(n, err)
		return shape{}
	}
	s := shape{polygon: orb.Polygon{openRing(p[0])}}
	if c := n.Get("corner"); c.Kind == tomltree.String {
		s.corners = []string{c.Text, "2", "3", "4"}
		for i, name := range s.corners {
			if i > 0 && name == c.Text {
				s.corners = nil
				break
			}
		}
	}
	return s
}

// shapeFile reads the shapes of a file; n names it.
func (l *loader) shapeFile(n *tomltree.Node) []shape {
	f := l.dataFile(n, shapeExample)
	shapes := l.readShapes(&f)
	if l.err == nil && len(shapes) == 0 {
		l.noneNamed(&f, "polygon")
	}
	return shapes
}

// readShapes reads the shapes of a file.
func (l *loader) readShapes(f *dataFile) (shapes []shape) {
	l.unpacked(f)
	if !f.kind.holdsLines() {
		l.wrongKind(f, "outlines", "point files, GeoJSON and LandXML")
	}
	l.read(f.at, f.name, func(r io.Reader) (in Input, err error) {
		switch f.kind {
		case geoJSON:
			shapes, in, err = l.geoPolygons(r, f)
		case landXML:
			shapes, in, err = l.xmlShapes(r, f)
		default:
			shapes, in, err = l.shapePoints(r, f)
		}
		return in, err
	})
	return shapes
}

// shapePoints reads a point file whose points are the corners in order.
func (l *loader) shapePoints(r io.Reader, f *dataFile) ([]shape, Input, error) {
	points, in, err := l.pointSpots(r, f)
	if err != nil {
		return nil, in, err
	}
	return []shape{shapeOfVertices("", points)}, in, nil
}

// shapeOfVertices makes a shape of corners in order; the last may be the first again.
func shapeOfVertices(name string, corners []tin.Point) shape {
	var ring orb.Ring
	var levels []float64
	for _, p := range corners {
		ring = append(ring, orb.Point{p.E, p.N})
		levels = append(levels, p.Level)
	}
	open := openRing(ring)
	s := shape{name: name, polygon: orb.Polygon{open}, corners: cornerNames(corners[:len(open)]), typed: true}
	if anyLevel(levels) {
		s.levels = [][]float64{levels[:len(open)]}
	}
	return s
}

// cornerNames returns the points' names, nil if one is empty or there twice:
// then corners go by number.
func cornerNames(points []tin.Point) []string {
	seen := map[string]bool{"": true}
	var names []string
	for _, p := range points {
		if seen[p.Name] {
			return nil
		}
		seen[p.Name] = true
		names = append(names, p.Name)
	}
	return names
}

// openRing takes off a closing vertex.
func openRing(r orb.Ring) orb.Ring {
	if len(r) > 1 && r[0] == r[len(r)-1] {
		return r[:len(r)-1]
	}
	return r
}

func anyLevel(levels []float64) bool {
	for _, z := range levels {
		if !math.IsNaN(z) {
			return true
		}
	}
	return false
}
