package geojson

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

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
	return write(w, len(areas), func(b []byte, i int) ([]byte, string, error) {
		a := areas[i]
		if len(a.Polygon) == 0 {
			return nil, "", fmt.Errorf("area %d %q has no ring", i+1, a.Name)
		}
		if a.Levels != nil && len(a.Levels) != len(a.Polygon) {
			return nil, "", fmt.Errorf("area %d %q has %d rings and levels for %d", i+1, a.Name, len(a.Polygon), len(a.Levels))
		}
		b = append(b, `"Polygon","coordinates":[`...)
		for k, ring := range a.Polygon {
			var levels []float64
			if a.Levels != nil {
				levels = a.Levels[k]
			}
			points, err := ringPoints(ring, levels, k == 0)
			if err != nil {
				return nil, "", fmt.Errorf("area %d %q, ring %d: %w", i+1, a.Name, k+1, err)
			}
			if k > 0 {
				b = append(b, ',')
			}
			if b, err = appendPositions(b, points); err != nil {
				return nil, "", fmt.Errorf("area %d %q, ring %d: %w", i+1, a.Name, k+1, err)
			}
		}
		return append(b, ']'), a.Name, nil
	})
}

// WriteLines writes breaklines as [WritePolygons] writes areas, as LineStrings
// in the order of their vertices.
func WriteLines(w io.Writer, lines []tin.Breakline) error {
	return write(w, len(lines), func(b []byte, i int) ([]byte, string, error) {
		l := lines[i]
		if len(l.Vertices) < 2 {
			return nil, "", fmt.Errorf("line %d %q has %d vertices, and needs two", i+1, l.Name, len(l.Vertices))
		}
		b, err := appendPositions(append(b, `"LineString","coordinates":`...), l.Vertices)
		if err != nil {
			return nil, "", fmt.Errorf("line %d %q: %w", i+1, l.Name, err)
		}
		return b, l.Name, nil
	})
}

// write writes n features; geometry appends the i-th from the value of its type.
func write(w io.Writer, n int, geometry func(b []byte, i int) ([]byte, string, error)) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "{\"type\":\"FeatureCollection\",\"coordinates_are\":%q,\"features\":[", SiteGrid)
	var line []byte
	for i := range n {
		shape, name, err := geometry(append(line[:0], `,"geometry":{"type":`...), i)
		if err != nil {
			return fmt.Errorf("geojson: write: %w", err)
		}
		line = shape
		if !utf8.ValidString(name) {
			return fmt.Errorf("geojson: write: the name %q is not UTF-8", name)
		}
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteString("\n{\"type\":\"Feature\",\"properties\":")
		if name == "" {
			out.WriteString("null")
		} else {
			text, err := json.Marshal(map[string]string{"name": name})
			if err != nil {
				return fmt.Errorf("geojson: write: %w", err)
			}
			out.Write(text)
		}
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
		for k, v := range []float64{p.E, p.N, p.Level} {
			if !(math.Abs(v) <= maxCoordinate) && (k < 2 || p.HasLevel()) {
				return nil, fmt.Errorf("vertex %d: %v is not finite or beyond %.0f", i+1, v, float64(maxCoordinate))
			}
		}
		if p.Level == -999 || p.Level == -9999 {
			return nil, fmt.Errorf("vertex %d: the level %v stands for a missing one", i+1, p.Level)
		}
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, '[')
		b = append(b, number(p.E)...)
		b = append(b, ',')
		b = append(b, number(p.N)...)
		if p.HasLevel() {
			b = append(b, ',')
			b = append(b, number(p.Level)...)
		}
		b = append(b, ']')
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
