package landxml

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"barrow/tin"
)

// schema is the namespace of the files that Write writes.
const schema = "http://www.landxml.org/schema/LandXML-1.2"

// SetTime sets the date and time of a file, in UTC to the second.
func (f *File) SetTime(t time.Time) {
	f.Date, f.Time = t.UTC().Format(time.DateOnly), t.UTC().Format(time.TimeOnly)
}

// Write writes a file of the schema 1.2, the same bytes for the same file. Numbers
// are the shortest decimals that give the same bits again.
//
// What the schema or XML cannot hold is an error that names it: no date and time,
// a unit that is none of the schema's, a name with control characters or one that
// stands twice where it may not, a face without its points. Names and codes of the
// points of a surface without faces are not written: the format has no place for
// them. Of features with an error nothing is written.
func Write(w io.Writer, f *File) error {
	out := &writer{Writer: bufio.NewWriterSize(w, 1<<16)}
	out.file(f)
	if out.err == nil {
		out.err = out.Flush()
	}
	if out.err != nil {
		return fmt.Errorf("landxml: write: %w", out.err)
	}
	return nil
}

// writer keeps its first error, and writes nothing after it.
type writer struct {
	*bufio.Writer
	err error
	num []byte
}

// refuse keeps an error.
func (w *writer) refuse(format string, a ...any) {
	if w.err == nil {
		w.err = fmt.Errorf(format, a...)
	}
}

// text writes markup as it stands.
func (w *writer) text(s string) {
	if w.err == nil {
		_, w.err = w.WriteString(s)
	}
}

// attr writes an attribute, unless it is empty.
func (w *writer) attr(name, value string) {
	if value != "" {
		w.must(name, value)
	}
}

// must writes an attribute that the schema wants, empty or not.
func (w *writer) must(name, value string) {
	if at := strings.IndexFunc(value, notXML); at >= 0 || !utf8.ValidString(value) {
		w.refuse("%s %q holds what XML cannot hold", name, value)
		return
	}
	w.text(" " + name + `="`)
	if w.err == nil {
		w.err = xml.EscapeText(w.Writer, []byte(value))
	}
	w.text(`"`)
}

// notXML reports whether a character has no place in XML 1.0 (section 2.2).
func notXML(c rune) bool {
	return c < 0x20 && c != '\t' && c != '\n' && c != '\r' || c == 0xFFFE || c == 0xFFFF
}

// state writes the state of a surface, which has four values.
func (w *writer) state(state string) {
	switch state {
	case "", "abandoned", "destroyed", "existing", "proposed":
		w.attr("state", state)
	default:
		w.refuse("the state %q is not abandoned, destroyed, existing or proposed", state)
	}
}

// number writes a number after what separates it.
func (w *writer) number(before string, v float64) {
	if !(math.Abs(v) <= maxCoordinate) {
		w.refuse("%v is not finite or beyond %.0f", v, float64(maxCoordinate))
		return
	}
	w.num = append(w.num[:0], before...)
	if a := math.Abs(v); a != 0 && a < 1e-6 {
		w.num = strconv.AppendFloat(w.num, v, 'e', -1, 64)
	} else {
		w.num = strconv.AppendFloat(w.num, v, 'f', -1, 64)
	}
	if w.err == nil {
		_, w.err = w.Write(w.num)
	}
}

// position writes northing, easting and the level, if there is one.
func (w *writer) position(p *tin.Point) {
	if p.Level == -999 || p.Level == -9999 {
		w.refuse("the level %v stands for a missing one", p.Level)
	}
	w.number("", p.N)
	w.number(" ", p.E)
	if p.HasLevel() {
		w.number(" ", p.Level)
	}
}

func (w *writer) file(f *File) {
	w.text(xml.Header + `<LandXML xmlns="` + schema + `"`)
	w.date(f)
	w.text(" version=\"1.2\">\n")
	w.units(f.Unit)
	if f.CoordinateSystem != nil {
		w.coordinateSystem(f.CoordinateSystem)
	}
	if f.Project != "" {
		w.text(" <Project")
		w.attr("name", f.Project)
		w.text("/>\n")
	}
	if f.Application != "" {
		w.text(" <Application")
		w.attr("name", f.Application)
		w.text("/>\n")
	}
	w.cgPoints(f)
	w.surfaces(f.Surfaces)
	w.features(f.Features)
	w.text("</LandXML>\n")
}

func (w *writer) date(f *File) {
	if _, err := time.Parse(time.DateOnly, f.Date); err != nil {
		w.refuse("the date is %q, and should be like 2006-01-02", f.Date)
	}
	if _, err := time.Parse(time.TimeOnly, f.Time); err != nil {
		w.refuse("the time is %q, and should be like 15:04:05", f.Time)
	}
	w.must("date", f.Date)
	w.must("time", f.Time)
}

// units writes the unit of length, with units of area, volume and the rest that go
// with it.
func (w *writer) units(unit tin.Unit) {
	for name, u := range linearUnits() {
		if u != unit {
			continue
		}
		level := map[string]string{"foot": "feet", "USSurveyFoot": "feet", "mile": "miles", "kilometer": "kilometer"}[name]
		switch name {
		case "foot", "USSurveyFoot", "inch", "mile":
			w.text(` <Units><Imperial linearUnit="` + name + `" areaUnit="squareFoot" volumeUnit="cubicYard" temperatureUnit="fahrenheit" pressureUnit="inchHG"`)
		default:
			w.text(` <Units><Metric linearUnit="` + name + `" areaUnit="squareMeter" volumeUnit="cubicMeter" temperatureUnit="celsius" pressureUnit="HPA"`)
		}
		w.attr("elevationUnit", level)
		w.text("/></Units>\n")
		return
	}
	w.refuse("the schema has no unit of %v m", float64(unit))
}

func (w *writer) coordinateSystem(attributes map[string]string) {
	known := coordinateSystemAttributes()
	for _, name := range slices.Sorted(maps.Keys(attributes)) {
		if !slices.Contains(known, name) {
			w.refuse("the schema's CoordinateSystem has no attribute %q", name)
		}
	}
	if v := attributes["rotationAngle"]; v != "" {
		if _, err := strconv.ParseFloat(v, 64); err != nil {
			w.refuse("rotationAngle is %q, and should be a number", v)
		}
	}
	w.text(" <CoordinateSystem")
	for _, name := range known {
		w.attr(name, attributes[name])
	}
	w.text("/>\n")
}

func (w *writer) cgPoints(f *File) {
	if len(f.Points)+len(f.NotGround) == 0 {
		return
	}
	seen := make(map[string]bool)
	w.text(" <CgPoints>\n")
	for i := range f.Points {
		w.cgPoint(&f.Points[i], "", seen)
	}
	for i := range f.NotGround {
		w.cgPoint(&f.NotGround[i], "donotinclude", seen)
	}
	w.text(" </CgPoints>\n")
}

func (w *writer) cgPoint(p *tin.Point, dtm string, seen map[string]bool) {
	if p.Name != "" && seen[p.Name] {
		w.refuse("two points are named %q", p.Name)
	}
	seen[p.Name] = true
	w.text("  <CgPoint")
	w.attr("name", p.Name)
	w.attr("code", p.Code)
	w.attr("DTMAttribute", dtm)
	w.text(">")
	w.position(p)
	w.text("</CgPoint>\n")
}

func (w *writer) features(features []Feature) {
	for _, kind := range []FeatureKind{PlanFeature, Parcel} {
		open := false
		seen := make(map[string]bool)
		for i := range features {
			f := &features[i]
			if f.Kind != kind || f.Err != nil {
				continue
			}
			if !open {
				w.text(" <" + string(kind) + "s>\n")
				open = true
			}
			if kind == Parcel && seen[f.Name] {
				w.refuse("two parcels are named %q", f.Name)
			}
			seen[f.Name] = true
			w.feature(f)
		}
		if open {
			w.text(" </" + string(kind) + "s>\n")
		}
	}
	for i := range features {
		if k := features[i].Kind; k != PlanFeature && k != Parcel {
			w.refuse("feature %q is of the kind %q", features[i].Name, k)
		}
	}
}

// feature writes a line as one of straight parts.
func (w *writer) feature(f *Feature) {
	if len(f.Vertices) < 2 {
		w.refuse("%s %q has fewer than two vertices", f.Kind, f.Name)
		return
	}
	w.text("  <" + string(f.Kind))
	if f.Kind == Parcel {
		w.must("name", f.Name)
	} else {
		w.attr("name", f.Name)
	}
	w.text("><CoordGeom>\n")
	for i := range f.Vertices[1:] {
		w.text("   <Line><Start>")
		w.position(&f.Vertices[i])
		w.text("</Start><End>")
		w.position(&f.Vertices[i+1])
		w.text("</End></Line>\n")
	}
	w.text("  </CoordGeom></" + string(f.Kind) + ">\n")
}
