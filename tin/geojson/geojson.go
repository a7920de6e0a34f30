package geojson

import (
	"io"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// SiteGrid is what the writers say in the member "coordinates_are". The readers
// take any text that begins with "site grid".
const SiteGrid = "site grid: easting, northing, level"

// Options tell the readers what the file does not say. The zero value is good
// for files in a full grid.
type Options struct {
	// SiteGrid states that coordinates are those of the site, for files whose
	// numbers could be degrees.
	SiteGrid bool

	MaxVertices int   // positions in the whole file; more is an error; 0: no limit
	MaxBytes    int64 // of the file; more is an error; 0: no limit

	// Note, if not nil, is told what was left out or assumed, with counts.
	Note func(tin.Problem)

	// Unit, if not nil, is told the unit of coordinates and levels, if the file states
	// one: a member "unit" beside the outermost "type", as [WriteFeatures] writes it.
	Unit func(tin.Unit)
}

// Area is one polygon.
type Area struct {
	Name    string      // the property "name" of its feature; may be empty
	Polygon orb.Polygon // closed rings as read: the outer one, then holes
	Levels  [][]float64 // by ring and position, NaN where absent; nil if there are none
	Line    int         // where the polygon's coordinates begin in the file
}

// ReadPolygons reads the polygons of a file: a FeatureCollection, a Feature, a
// geometry, or a GeometryCollection. A MultiPolygon gives several areas of one
// name. Other geometries are left out with a note; a file without any polygon
// is an error. The file is read whole.
//
// Bad content is a [*tin.InputError] with the line and column (in characters)
// of the text.
func ReadPolygons(r io.Reader, name string, opts Options) ([]Area, error) {
	d, root, err := open(r, name, opts)
	if err != nil {
		return nil, err
	}
	c := collector{decoder: d}
	if err := c.walk(root, labels{}, c.polygons); err != nil {
		return nil, err
	}
	if err := c.finish(len(c.areas), "polygon"); err != nil {
		return nil, err
	}
	return c.areas, nil
}

// ReadLines reads the lines of a file as breaklines, as [ReadPolygons] reads
// polygons: each LineString, and each part of a MultiLineString. The third
// number of a position is its level; without one the level is NaN. The Line of
// a vertex is where its position stands in the file.
func ReadLines(r io.Reader, name string, opts Options) ([]tin.Breakline, error) {
	d, root, err := open(r, name, opts)
	if err != nil {
		return nil, err
	}
	c := collector{decoder: d}
	if err := c.walk(root, labels{}, c.lines); err != nil {
		return nil, err
	}
	if err := c.finish(len(c.breaklines), "line"); err != nil {
		return nil, err
	}
	return c.breaklines, nil
}

// ReadPoints reads the points of a file as spot heights, as [ReadPolygons] reads
// polygons: each Point, and each part of a MultiPoint. The third number of a position
// is its level; without one the level is NaN. A point has the properties "name" and
// "code" of its feature; its Line is where its position stands in the file.
func ReadPoints(r io.Reader, name string, opts Options) ([]tin.Point, error) {
	d, root, err := open(r, name, opts)
	if err != nil {
		return nil, err
	}
	c := collector{decoder: d}
	if err := c.walk(root, labels{}, c.single); err != nil {
		return nil, err
	}
	if err := c.finish(len(c.points), "point"); err != nil {
		return nil, err
	}
	return c.points, nil
}

// Shapes are the geometries of a file, by their kind.
type Shapes struct {
	Areas  []Area
	Lines  []tin.Breakline
	Points []tin.Point
}

// ReadShapes reads all geometries of a file: polygons as [ReadPolygons] does, lines
// as [ReadLines] does, and points as [ReadPoints] does. A file without any geometry is an error.
func ReadShapes(r io.Reader, name string, opts Options) (Shapes, error) {
	d, root, err := open(r, name, opts)
	if err != nil {
		return Shapes{}, err
	}
	c := collector{decoder: d}
	take := func(o object, of labels) (bool, error) {
		for _, kind := range []func(object, labels) (bool, error){c.polygons, c.lines, c.single} {
			if taken, err := kind(o, of); taken || err != nil {
				return taken, err
			}
		}
		return false, nil
	}
	if err := c.walk(root, labels{}, take); err != nil {
		return Shapes{}, err
	}
	if err := c.finish(len(c.areas)+len(c.breaklines)+len(c.points), "shape"); err != nil {
		return Shapes{}, err
	}
	return Shapes{c.areas, c.breaklines, c.points}, nil
}
