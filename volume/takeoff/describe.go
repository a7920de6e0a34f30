package takeoff

import (
	"context"
	"fmt"
	"io"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/asciigrid"
	"barrow/tin/geojson"
	"barrow/tin/geotiff"
	"barrow/tin/landxml"
	"barrow/tin/las"
	"barrow/tin/pointfile"
	"barrow/tin/raster"
	"barrow/volume/takeoff/internal/tomltree"
)

// FileDescription is what a data file other than a point file holds, in the unit of the
// file. What a kind of file has not is nil or empty.
type FileDescription struct {
	Name   string
	Kind   string // "GeoJSON", "LandXML", "LAS", "GeoTIFF" or "ASCII grid"
	Format string // of the kind, such as "1.2, point format 1"; empty: not stated

	Units, LevelUnits string // that the file states; empty: not stated
	System            string // the coordinate system as the file names it

	Points   *pointfile.Description // of its single points, looked at one by one
	Cloud    *CloudDescription      // of LAS
	Raster   *RasterDescription     // of GeoTIFF and ASCII grids
	Surfaces []SurfaceDescription   // of LandXML
	Shapes   []ShapeDescription     // lines and outlines

	Notes []tin.Problem
}

// Span is where points lie. Of no points all is 0.
type Span struct {
	Extent             orb.Bound
	LowLevel, TopLevel float64
}

// ClassCount is the number of points of a class of a LAS file.
type ClassCount struct {
	Class  uint8  `json:"class"`
	Name   string `json:"name,omitempty"` // of the standard, such as "ground"; may be empty
	Points int64  `json:"points"`
}

// CloudDescription is what a LAS file holds.
type CloudDescription struct {
	Points  int64
	Classes []ClassCount // those met, by number
	Ground  int64        // that a survey takes unless it is told otherwise
	Span    Span         // of these; of all points, if Ground is 0
}

// RasterDescription is what a raster holds.
type RasterDescription struct {
	Columns, Rows, Missing int // Missing: samples without a level
	StepE, StepN           float64
	Span                   Span // of the samples, not of their cells
}

// SurfaceDescription is a surface of a LandXML file.
type SurfaceDescription struct {
	Name, State                           string
	Points, Faces, Breaklines, Boundaries int
	Span                                  Span
}

// ShapeDescription is a line or an outline.
type ShapeDescription struct {
	Name     string
	Closed   bool
	Vertices int
	Fault    string // why it cannot be read; empty: it can
}

// IsPointFile reports whether a file of the name is read as a point file, of delimited
// text: what no other kind of file is.
func IsPointFile(name string) bool { return kindOf(name) == pointTable }

// DescribeFile says what a file holds that is no point file; of one see
// [pointfile.Describe]. Errors are as those of [Load].
func DescribeFile(ctx context.Context, f DataFile, limits Limits) (*FileDescription, error) {
	l := newLoader(ctx, f.FS, f.Name, newBudget(limits))
	d := &describer{loader: l, file: f.named(l), out: &FileDescription{Name: f.Name}}
	l.unpacked(&d.file)
	l.read(&tomltree.Node{}, f.Name, func(r io.Reader) (Input, error) { return Input{}, d.kind(r) })
	if again := asInputError(l.err); again != nil && again.Code == "no_wanted_class" {
		l.err, l.budget, d.everyClass = nil, newBudget(limits), true // it is read again, and counts once
		l.read(&tomltree.Node{}, f.Name, func(r io.Reader) (Input, error) { return Input{}, d.cloud(r) })
	}
	if l.err != nil {
		return nil, l.err
	}
	return d.out, nil
}

type describer struct {
	*loader
	file       dataFile
	out        *FileDescription
	everyClass bool // for want of ground
}

func (d *describer) kind(r io.Reader) error {
	switch d.file.kind {
	case geoJSON:
		return d.shapes(r)
	case landXML:
		return d.xml(r)
	case lasPoints:
		return d.cloud(r)
	case geoTIFF, asciiGrid:
		return d.grid(r)
	}
	return &tin.InputError{Code: codeFileKind, File: d.file.name, Message: "this is a point file", Hint: "pointfile.Describe tells what it holds"}
}

// units are those that a file states.
func (d *describer) units(plan, level tin.Unit) {
	if plan != 0 {
		d.out.Units = plan.String()
	}
	if level != 0 {
		d.out.LevelUnits = level.String()
	}
}

func (d *describer) points(points []tin.Point) error {
	if len(points) == 0 {
		return nil
	}
	p, err := pointfile.Describe(d.ctx, &pointfile.File{Name: d.file.name, Points: points})
	d.out.Points = &p
	return err
}

func (d *describer) shapes(r io.Reader) error {
	d.out.Kind = "GeoJSON"
	opts := geojson.Options{MaxVertices: d.mostPoints(), Unit: func(u tin.Unit) { d.units(u, u) }, Note: func(p tin.Problem) { d.out.Notes = append(d.out.Notes, p) }}
	s, err := geojson.ReadShapes(r, d.file.name, opts)
	if err != nil {
		return err
	}
	for _, a := range s.Areas {
		n := 0
		for _, ring := range a.Polygon {
			n += len(openRing(ring))
		}
		d.out.Shapes = append(d.out.Shapes, ShapeDescription{Name: a.Name, Closed: true, Vertices: n})
	}
	for _, b := range s.Lines {
		d.out.Shapes = append(d.out.Shapes, ShapeDescription{Name: b.Name, Vertices: len(b.Vertices)})
	}
	return d.points(s.Points)
}

func (d *describer) xml(r io.Reader) error {
	file, err := landxml.Read(d.ctx, r, d.file.name, landxml.Options{MaxPoints: d.mostPoints()})
	if err != nil {
		return err
	}
	d.out.Kind, d.out.Format, d.out.Notes = "LandXML", file.Version, file.Notes
	d.units(file.Unit, file.Unit)
	for _, key := range []string{"epsgCode", "horizontalCoordinateSystemName", "name", "desc"} {
		if v := file.CoordinateSystem[key]; v != "" && d.out.System == "" {
			d.out.System = v
			if key == "epsgCode" {
				d.out.System = "EPSG " + v
			}
		}
	}
	for i := range file.Surfaces {
		s := &file.Surfaces[i]
		d.out.Surfaces = append(d.out.Surfaces, SurfaceDescription{Name: s.Name, State: s.State, Points: len(s.Points), Faces: len(s.Faces),
			Breaklines: len(s.Breaklines), Boundaries: len(s.Boundaries), Span: spanOf(s.Points)})
	}
	for _, g := range file.Features {
		s := ShapeDescription{Name: g.Name, Closed: g.Closed, Vertices: len(g.Vertices)}
		if g.Closed {
			s.Vertices--
		}
		if g.Err != nil {
			s = ShapeDescription{Name: g.Name, Fault: messageOf(g.Err)}
		}
		d.out.Shapes = append(d.out.Shapes, s)
	}
	return d.points(file.Points)
}

func messageOf(err error) string {
	if e := asInputError(err); e != nil {
		return e.Message
	}
	return err.Error()
}

func (d *describer) cloud(r io.Reader) error {
	opts := las.Options{MaxPoints: d.mostPoints()}
	if d.everyClass {
		for c := range 256 {
			opts.Classes = append(opts.Classes, uint8(c))
		}
	}
	file, err := las.Read(d.ctx, r, d.file.name, opts)
	if err != nil {
		return err
	}
	d.out.Kind, d.out.Notes = "LAS", file.Notes
	d.out.Format = fmt.Sprintf("%s, point format %d", file.Header.Version, file.Header.Format)
	d.units(file.Unit, file.VerticalUnit)
	d.out.System = systemName(file.CRS.Name, file.CRS.EPSG)
	c := &CloudDescription{Points: file.Counts.Points, Span: spanOf(file.Points)}
	for _, k := range file.Counts.Classes {
		c.Classes = append(c.Classes, ClassCount(k))
	}
	if !d.everyClass {
		c.Ground = file.Counts.Kept
	}
	d.out.Cloud = c
	return nil
}

func (d *describer) grid(r io.Reader) error {
	read, kind := geotiff.Read, "GeoTIFF"
	if d.file.kind == asciiGrid {
		read, kind = asciigrid.Read, "ASCII grid"
	}
	g, err := read(d.ctx, r, d.file.name, raster.Options{MaxPoints: d.mostPoints()})
	if err != nil {
		return notAGrid(&d.file, err)
	}
	d.out.Kind, d.out.Notes = kind, g.Notes
	d.units(g.Unit, g.VerticalUnit)
	d.out.System = systemName(g.CRS.Name, g.CRS.EPSG)
	out := &RasterDescription{Columns: g.Columns, Rows: g.Rows, StepE: g.StepE, StepN: g.StepN}
	low, top := math.Inf(1), math.Inf(-1)
	for _, v := range g.Levels {
		if math.IsNaN(v) {
			out.Missing++
			continue
		}
		low, top = min(low, v), max(top, v)
	}
	out.Span = Span{orb.Bound{Min: g.Place(0, 0), Max: g.Place(g.Columns-1, g.Rows-1)}, low, top}
	d.out.Raster = out
	return nil
}

func systemName(name string, epsg int) string {
	switch {
	case epsg == 0:
		return name
	case name == "":
		return fmt.Sprintf("EPSG %d", epsg)
	}
	return fmt.Sprintf("%s (EPSG %d)", name, epsg)
}

// spanOf is where points lie; levels of those that have one.
func spanOf(points []tin.Point) (s Span) {
	if len(points) == 0 {
		return s
	}
	s.Extent = orb.Point{points[0].E, points[0].N}.Bound()
	low, top := math.Inf(1), math.Inf(-1)
	for i := range points {
		p := &points[i]
		s.Extent = s.Extent.Extend(orb.Point{p.E, p.N})
		if p.HasLevel() {
			low, top = min(low, p.Level), max(top, p.Level)
		}
	}
	if low <= top {
		s.LowLevel, s.TopLevel = low, top
	}
	return s
}
