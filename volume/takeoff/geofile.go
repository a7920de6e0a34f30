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
// themselves are counted afterwards. A drawing's own coordinates may well be as
// small as degrees.
func (l *loader) geoOptions(name string) geojson.Options {
	return geojson.Options{
		SiteGrid:    l.drawing,
		MaxVertices: 2 * max(l.budget.left.Vertices, 1),
		Note: func(p tin.Problem) {
			p.Message = fmt.Sprintf("%s: %s", name, p.Message)
			l.job.Notes = append(l.job.Notes, p)
		},
	}
}

// geoPolygons reads the polygons of a GeoJSON file; only those of a name, if
// one is given.
func (l *loader) geoPolygons(r io.Reader, name, only string) ([]shape, error) {
	areas, err := geojson.ReadPolygons(r, name, l.geoOptions(name))
	if err != nil {
		return nil, l.wholeVertices(name, err)
	}
	var shapes []shape
	for _, a := range areas {
		if only != "" && a.Name != only {
			continue
		}
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
		shapes = append(shapes, s)
	}
	return shapes, nil
}

func (l *loader) geoLines(r io.Reader, name string) ([]tin.Breakline, error) {
	lines, err := geojson.ReadLines(r, name, l.geoOptions(name))
	return lines, l.wholeVertices(name, err)
}

// wholeVertices has an error about the vertices that were left speak of the
// limit.
func (l *loader) wholeVertices(name string, err error) error {
	return whole(err, codeTooManyVertices, func() error { return l.budget.vertices(name, l.budget.left.Vertices+1) })
}
