package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/tin"
)

// The library measures in metres, a job speaks its own unit: these turn one
// into the other by a factor.

func scalePoint(p orb.Point, k float64) orb.Point { return orb.Point{p[0] * k, p[1] * k} }

func scalePolygon(p orb.Polygon, k float64) orb.Polygon {
	out := make(orb.Polygon, len(p))
	for i, r := range p {
		out[i] = make(orb.Ring, len(r))
		for j, q := range r {
			out[i][j] = scalePoint(q, k)
		}
	}
	return out
}

func scaleSpots(points []tin.Point, k float64) []tin.Point {
	if points == nil {
		return nil
	}
	out := make([]tin.Point, len(points))
	for i, p := range points {
		out[i] = p
		out[i].E, out[i].N, out[i].Level = p.E*k, p.N*k, p.Level*k
	}
	return out
}

func scaleLines(lines []tin.Breakline, k float64) []tin.Breakline {
	if lines == nil {
		return nil
	}
	out := make([]tin.Breakline, len(lines))
	for i, b := range lines {
		out[i] = tin.Breakline{Name: b.Name, Vertices: scaleSpots(b.Vertices, k)}
	}
	return out
}

func scaleMultiPolygon(area orb.MultiPolygon, k float64) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(area))
	for i, p := range area {
		out[i] = scalePolygon(p, k)
	}
	return out
}

func scaleLineString(line orb.LineString, k float64) orb.LineString {
	out := make(orb.LineString, len(line))
	for i, p := range line {
		out[i] = scalePoint(p, k)
	}
	return out
}
