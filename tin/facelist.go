package tin

import (
	"math"

	"barrow/tin/internal/mesh"
)

// faceList gathers faces by parts, over the vertices of a surface and places added.
type faceList struct {
	s     *Surface
	unit  Unit      // of the points handed out
	at    []mesh.XY // of the places added
	level []float64 // metres
	face  [][][3]int32
}

func newFaceList(s *Surface, unit Unit) *faceList { return &faceList{s: s, unit: unit} }

// place adds a place, and returns its number.
func (f *faceList) place(at mesh.XY, level float64) int32 {
	f.at, f.level = append(f.at, at), append(f.level, level)
	return int32(len(f.s.level) + len(f.at) - 1)
}

// add adds a face to a part; below 0 there is none.
func (f *faceList) add(part int, face [3]int32) {
	if part < 0 {
		return
	}
	for part >= len(f.face) {
		f.face = append(f.face, nil)
	}
	f.face[part] = append(f.face[part], face)
}

// source returns a part with the points it uses, in the order of their numbers.
func (f *faceList) source(part int) (Source, error) {
	if part >= len(f.face) {
		return Source{}, nil
	}
	m := faceMender{points: make([]Point, len(f.s.level)+len(f.at)), faces: f.face[part], gone: make([]bool, len(f.face[part]))}
	for v := range m.points {
		m.points[v] = f.point(v)
	}
	return m.source("").mend()
}

// point returns a vertex or a place added, in the unit asked for.
func (f *faceList) point(v int) Point {
	at, level := mesh.XY{}, 0.0
	if n := len(f.s.level); v < n {
		at, level = f.s.mesh.P[v], f.s.level[v]
	} else {
		at, level = f.at[v-n], f.level[v-n]
	}
	frame := f.s.frame
	if f.unit.Metres() != frame.unit {
		p, u := frame.Metres(at.X, at.Y), f.unit.Metres()
		return Point{E: p[0] / u, N: p[1] / u, Level: level / u}
	}
	e, n := frame.surveyed(at.X, at.Y)
	return Point{E: e, N: n, Level: frame.surveyedLevel(level)}
}

// surveyed returns easting and northing of a local point in the unit of the survey.
func (f Frame) surveyed(x, y float64) (e, n float64) {
	return (float64(f.e0*f.per) + x) / f.per, (float64(f.n0*f.per) + y) / f.per
}

// surveyedLevel returns a level in the unit of the survey: one that is the same level in
// metres to the bit, if there is one.
func (f Frame) surveyedLevel(metres float64) float64 {
	level := metres / f.unit
	for _, v := range [...]float64{level, math.Nextafter(level, math.Inf(-1)), math.Nextafter(level, math.Inf(1))} {
		if v*f.unit == metres {
			return v
		}
	}
	return level
}
