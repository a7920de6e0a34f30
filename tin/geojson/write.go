package geojson

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// WritePolygons writes areas as a FeatureCollection of polygons in site
// coordinates, one feature a line, with the shortest decimals that give the
// same bits again. Rings are closed where they are not, and turned as RFC 7946
// section 3.1.6 wants them: the outer one anticlockwise, holes clockwise, each
// from its first vertex. What [ReadPolygons] could not give back is an error
// that names the area.
func WritePolygons(w io.Writer, areas []Area) error {
	return write(w, "", len(areas), func(b []byte, i int) ([]byte, []Property, error) {
		a := areas[i]
		if len(a.Polygon) == 0 {
			return nil, nil, fmt.Errorf("area %d %q has no ring", i+1, a.Name)
		}
		if a.Levels != nil && len(a.Levels) != len(a.Polygon) {
			return nil, nil, fmt.Errorf("area %d %q has %d rings and levels for %d", i+1, a.Name, len(a.Polygon), len(a.Levels))
		}
		b = append(b, `"Polygon","coordinates":[`...)
		for k, ring := range a.Polygon {
			var levels []float64
			if a.Levels != nil {
				levels = a.Levels[k]
			}
			points, err := ringPoints(ring, levels, k == 0)
			if err != nil {
				return nil, nil, fmt.Errorf("area %d %q, ring %d: %w", i+1, a.Name, k+1, err)
			}
			if k > 0 {
				b = append(b, ',')
			}
			if b, err = appendPositions(b, points); err != nil {
				return nil, nil, fmt.Errorf("area %d %q, ring %d: %w", i+1, a.Name, k+1, err)
			}
		}
		return append(b, ']'), named(a.Name), nil
	})
}

// WriteLines writes breaklines as [WritePolygons] writes areas, as LineStrings
// in the order of their vertices.
func WriteLines(w io.Writer, lines []tin.Breakline) error {
	return write(w, "", len(lines), func(b []byte, i int) ([]byte, []Property, error) {
		l := lines[i]
		if len(l.Vertices) < 2 {
			return nil, nil, fmt.Errorf("line %d %q has %d vertices, and needs two", i+1, l.Name, len(l.Vertices))
		}
		b, err := appendPositions(append(b, `"LineString","coordinates":`...), l.Vertices)
		if err != nil {
			return nil, nil, fmt.Errorf("line %d %q: %w", i+1, l.Name, err)
		}
		return b, named(l.Name), nil
	})
}

// named returns the property that holds a name; none without one.
func named(name string) []Property {
	if name == "" {
		return nil
	}
	return []Property{{"name", name}}
}

// write writes n features; geometry appends the i-th from the value of its type. unit is
// that of coordinates, "" if it is not said.
func write(w io.Writer, unit string, n int, geometry func(b []byte, i int) ([]byte, []Property, error)) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "{\"type\":\"FeatureCollection\",\"coordinates_are\":%q,", SiteGrid)
	if unit != "" {
		text, err := appendProperties(nil, []Property{{"unit", unit}})
		if err != nil {
			return fmt.Errorf("geojson: write: %w", err)
		}
		out.Write(text[1 : len(text)-1])
		out.WriteByte(',')
	}
	out.WriteString("\"features\":[")
	var line []byte
	for i := range n {
		shape, properties, err := geometry(append(line[:0], `,"geometry":{"type":`...), i)
		if err != nil {
			return fmt.Errorf("geojson: write: %w", err)
		}
		line = shape
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteString("\n{\"type\":\"Feature\",\"properties\":")
		text, err := appendProperties(nil, properties)
		if err != nil {
			return fmt.Errorf("geojson: write: %w", err)
		}
		out.Write(text)
		out.Write(line)
		if _, err := out.WriteString("}}"); err != nil {
			return fmt.Errorf("geojson: write: %w", err)
		}
	}
	out.WriteString("\n]}\n")
	if err := out.Flush(); err != nil {
		return fmt.Errorf("geojson: write: %w", err)
	}
	return nil
}

// ringPoints gives a ring closed and turned.
func ringPoints(ring orb.Ring, levels []float64, outer bool) ([]tin.Point, error) {
	if levels != nil && len(levels) != len(ring) {
		return nil, fmt.Errorf("%d vertices and %d levels", len(ring), len(levels))
	}
	points := make([]tin.Point, 0, len(ring)+1)
	for i, p := range ring {
		v := tin.Point{E: p[0], N: p[1], Level: math.NaN()}
		if levels != nil {
			v.Level = levels[i]
		}
		points = append(points, v)
	}
	if len(points) > 0 && ring[0] != ring[len(ring)-1] {
		points = append(points, points[0])
	}
	if len(points) < 4 {
		return nil, fmt.Errorf("%d positions, and a closed ring has at least 4", len(points))
	}
	last := points[len(points)-1]
	if first := points[0]; first.HasLevel() && last.HasLevel() && first.Level != last.Level {
		return nil, fmt.Errorf("it begins at level %v and ends at the same place at level %v", first.Level, last.Level)
	}
	if twice := twiceArea(points); outer && twice < 0 || !outer && twice > 0 {
		slices.Reverse(points)
	}
	return points, nil
}

// twiceArea is positive for anticlockwise rings; from differences, so that
// large coordinates do not swamp it.
func twiceArea(points []tin.Point) float64 {
	sum := 0.0
	at := points[0]
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		sum += float64((p.E-at.E)*(q.N-at.N)) - float64((q.E-at.E)*(p.N-at.N))
	}
	return sum
}

func appendPositions(b []byte, points []tin.Point) ([]byte, error) {
	b = append(b, '[')
	for i, p := range points {
		if i > 0 {
			b = append(b, ',')
		}
		var err error
		if b, err = appendPosition(b, p); err != nil {
			return nil, fmt.Errorf("vertex %d: %w", i+1, err)
		}
	}
	return append(b, ']'), nil
}

func appendPosition(b []byte, p tin.Point) ([]byte, error) {
	for k, v := range []float64{p.E, p.N, p.Level} {
		if !(math.Abs(v) <= maxCoordinate) && (k < 2 || p.HasLevel()) {
			return nil, fmt.Errorf("%v is not finite or beyond %.0f", v, float64(maxCoordinate))
		}
	}
	if p.Level == -999 || p.Level == -9999 {
		return nil, fmt.Errorf("the level %v stands for a missing one", p.Level)
	}
	b = append(append(b, '['), number(p.E)...)
	b = append(append(b, ','), number(p.N)...)
	if p.HasLevel() {
		b = append(append(b, ','), number(p.Level)...)
	}
	return append(b, ']'), nil
}

// number writes v with the fewest digits, never with an exponent for a
// coordinate of common size.
func number(v float64) string {
	if a := math.Abs(v); a != 0 && a < 1e-6 {
		return strconv.FormatFloat(v, 'e', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
