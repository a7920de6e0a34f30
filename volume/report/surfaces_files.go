package report

import (
	"bytes"
	"context"
	"fmt"
	"time"

	"barrow/tin"
	"barrow/tin/geojson"
	"barrow/tin/landxml"
	"barrow/tin/ply"
	"barrow/volume/takeoff"
)

// SurfacesFile is one of the files that hold the surfaces of a job.
type SurfacesFile struct {
	Name  string `json:"name"`
	Bytes int    `json:"bytes"`
	Holds string `json:"holds"` // in words
	Data  []byte `json:"-"`
}

// SurfacesFiles returns the surfaces and lines of a job as files of open standards:
// LandXML with all surfaces and the lines of the pads, PLY of the ground and of the works,
// GeoJSON with all lines, and the points as CSV. Coordinates are those of the grid, in
// the job's unit. at is the time that LandXML wants to have been written at; but for that,
// the same result gives the same bytes. If ctx ends its error is returned.
func SurfacesFiles(ctx context.Context, r *takeoff.SurfacesResult, at time.Time) ([]SurfacesFile, error) {
	f := surfaceFiles{ctx: ctx, r: r}
	f.add("surfaces.xml", "all surfaces and the lines of the pads, LandXML 1.2", func(b *bytes.Buffer) error { return f.landxml(b, at) })
	f.add("ground.ply", "existing and stripped ground, PLY 1.0", func(b *bytes.Buffer) error {
		return f.ply(b, takeoff.SurfaceGround, takeoff.SurfaceStripped)
	})
	f.add("works.ply", "the works, PLY 1.0", func(b *bytes.Buffer) error { return f.ply(b, takeoff.SurfaceWorks) })
	f.add("lines.geojson", "all lines and the corners of the pads, GeoJSON in site coordinates", f.geojson)
	f.add("points.csv", "corners of the pads, and points of formation outlines, crests and toes, which lie within 5 mm of the lines through them", func(b *bytes.Buffer) error {
		return PointsCSV(b, r.Points)
	})
	return f.files, f.err
}

// surfaceFiles are files in the making.
type surfaceFiles struct {
	ctx   context.Context
	r     *takeoff.SurfacesResult
	files []SurfacesFile
	err   error
}

func (f *surfaceFiles) add(name, holds string, write func(*bytes.Buffer) error) {
	var b bytes.Buffer
	if f.err == nil {
		f.err = f.ctx.Err()
	}
	if f.err == nil {
		f.err = write(&b)
	}
	f.files = append(f.files, SurfacesFile{Name: name, Bytes: b.Len(), Holds: holds, Data: b.Bytes()})
}

// unit returns the job's unit, which is never the zero that stands for metres.
func (f *surfaceFiles) unit() tin.Unit { return tin.Unit(f.r.Unit.Metres()) }

func (f *surfaceFiles) landxml(b *bytes.Buffer, at time.Time) error {
	file := landxml.File{
		Project: written(f.r.Job), Application: f.r.Program.Name + " " + f.r.Program.Version, Unit: f.unit(),
	}
	file.SetTime(at)
	for i := range f.r.Surfaces {
		s := &f.r.Surfaces[i]
		state := "existing"
		if s.Kind == takeoff.SurfaceFormation || s.Kind == takeoff.SurfaceWorks {
			state = "proposed"
		}
		file.Surfaces = append(file.Surfaces, landxml.Surface{Name: s.Name, State: state, Points: s.Points, Faces: s.Faces})
	}
	count := make(map[[2]string]int)
	for i := range f.r.Lines {
		l := &f.r.Lines[i]
		if l.Pad == "" { // contours follow from the surfaces
			continue
		}
		of := [2]string{l.Pad, l.Kind}
		count[of]++
		file.Features = append(file.Features, landxml.Feature{
			Kind: landxml.PlanFeature, Name: written(fmt.Sprintf("%s, %s %d", l.Pad, lineWords(l.Kind), count[of])),
			Vertices: l.Points, Closed: l.Closed,
		})
	}
	return landxml.Write(b, &file)
}

func (f *surfaceFiles) ply(b *bytes.Buffer, kinds ...string) error {
	u := f.unit().Metres()
	o := f.r.Origin
	opts := ply.Options{Binary: true, Unit: f.unit(), Origin: tin.Vertex{E: o[0] * u, N: o[1] * u, Level: o[2] * u}}
	var meshes []ply.Mesh
	for _, kind := range kinds {
		for i := range f.r.Surfaces {
			s := &f.r.Surfaces[i]
			if s.Kind != kind {
				continue
			}
			m := ply.Mesh{Name: s.Name, Faces: s.Faces, Vertices: make([]tin.Vertex, len(s.Points))}
			for k, p := range s.Points {
				m.Vertices[k] = tin.Vertex{E: p.E * u, N: p.N * u, Level: p.Level * u}
			}
			meshes = append(meshes, m)
		}
	}
	return ply.Write(b, opts, meshes...)
}

func (f *surfaceFiles) geojson(b *bytes.Buffer) error {
	var features []geojson.Feature
	for i := range f.r.Lines {
		l := &f.r.Lines[i]
		properties := []geojson.Property{{Key: "kind", Value: l.Kind}}
		if l.Pad != "" {
			properties = append(properties, geojson.Property{Key: "name", Value: written(l.Pad)})
		}
		if l.Level != nil {
			properties = append(properties, geojson.Property{Key: "level", Value: *l.Level}, geojson.Property{Key: "index", Value: l.Index})
		}
		features = append(features, geojson.Feature{Properties: properties, Points: l.Points})
	}
	for _, p := range f.r.Points {
		if p.Code != takeoff.LineOutline {
			continue
		}
		features = append(features, geojson.Feature{
			Properties: []geojson.Property{{Key: "kind", Value: "corner"}, {Key: "name", Value: written(p.Name)}}, Points: []tin.Point{p}})
	}
	return geojson.WriteFeatures(b, f.unit().String(), features)
}

// written returns a name as files can hold it: valid text, its control characters as
// blanks, and the middle left out of one that is very long, so that numbers at its end stay.
func written(name string) string {
	name = Plain(name)
	const first, last = 140, 50
	if r := []rune(name); len(r) > first+last {
		name = string(r[:first]) + "..." + string(r[len(r)-last:])
	}
	return name
}

// lineWords names a kind of line.
func lineWords(kind string) string {
	switch kind {
	case takeoff.LineFormationOutline:
		return "formation outline"
	case takeoff.LineZero:
		return "zero line"
	case takeoff.LineGroundContour:
		return "contours of the ground"
	case takeoff.LineWorksContour:
		return "contours of the works"
	}
	return kind
}
