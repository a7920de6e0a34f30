package takeoff

import (
	"fmt"
	"io"
	"math"

	"barrow/tin"
	"barrow/tin/geojson"
)

// geoOptions bound a GeoJSON file by the vertices that are left. The reader
// counts closing positions too, so it is given twice as many; the vertices
// themselves are counted afterwards. unit becomes the unit that the file states, if it
// does. A drawing's own coordinates may well be as small as degrees.
func (l *loader) geoOptions(name string, unit *tin.Unit) geojson.Options {
	return geojson.Options{
		Unit:        func(u tin.Unit) { *unit = u },
		SiteGrid:    l.drawing,
		MaxVertices: 2 * max(l.budget.left.Vertices, 1),
		Note: func(p tin.Problem) {
			p.Message = fmt.Sprintf("%s: %s", name, p.Message)
			l.job.Notes = append(l.job.Notes, p)
		},
	}
}

// geoPolygons reads the polygons of a GeoJSON file.
func (l *loader) geoPolygons(r io.Reader, f *dataFile) (shapes []shape, in Input, err error) {
	var own tin.Unit
	areas, err := geojson.ReadPolygons(r, f.name, l.geoOptions(f.name, &own))
	if err != nil {
		return nil, in, l.wholeVertices(f.name, err)
	}
	for _, a := range areas {
		if f.takes(a.Name) {
			shapes = append(shapes, shapeOf(a))
		}
	}
	in, err = l.takeShapes(f, own, shapes)
	return shapes, in, err
}

// shapeOf returns an area with open rings.
func shapeOf(a geojson.Area) shape {
	s := shape{name: a.Name}
	for i, ring := range a.Polygon {
		open := openRing(ring)
		s.polygon = append(s.polygon, open)
		if a.Levels == nil {
			continue
		}
		levels := a.Levels[i]
		if math.IsNaN(levels[0]) { // the closing position is the first one's place too
			levels[0] = levels[len(levels)-1]
		}
		s.levels = append(s.levels, levels[:len(open)])
	}
	return s
}

// geoLines reads the lines of a GeoJSON file.
func (l *loader) geoLines(r io.Reader, f *dataFile) (lines []tin.Breakline, in Input, err error) {
	var own tin.Unit
	all, err := geojson.ReadLines(r, f.name, l.geoOptions(f.name, &own))
	if err != nil {
		return nil, in, l.wholeVertices(f.name, err)
	}
	for _, b := range all {
		if f.takes(b.Name) {
			lines = append(lines, b)
		}
	}
	in, err = l.takeLines(f, own, lines)
	return lines, in, err
}

// geoSpots reads the points of a GeoJSON file as spots of a pad.
func (l *loader) geoSpots(r io.Reader, f *dataFile) (spots []tin.Point, in Input, err error) {
	var own tin.Unit
	all, err := geojson.ReadPoints(r, f.name, l.geoOptions(f.name, &own))
	if err != nil {
		return nil, in, l.wholeVertices(f.name, err)
	}
	spots = f.named(all)
	in, err = l.takeLines(f, own, []tin.Breakline{{Vertices: spots}})
	return spots, in, err
}

// wholeVertices has an error about the vertices that were left speak of the
// limit.
func (l *loader) wholeVertices(name string, err error) error {
	return whole(err, codeTooManyVertices, func() error { return l.budget.vertices(name, l.budget.left.Vertices+1) })
}
