package landxml

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"barrow/tin"
)

// Read reads a LandXML file in one pass. name is that of the file, for messages.
// Bad content is a [*tin.InputError] with the line; what was left out or assumed
// is in the notes of the file.
//
// Lists of points are read as they come. One tag, comment or other text may have
// 1 MiB; entities declared in the file are not known, and so are errors.
func Read(ctx context.Context, r io.Reader, name string, opts Options) (*File, error) {
	rd := &reader{
		decoder: newDecoder(ctx, r, name, opts),
		file:    &File{Name: name},
		named:   make(map[string]*place),
		dtm:     make(map[string]int),
		notRead: make(map[string]int),
	}
	if err := rd.root(); err != nil {
		return nil, err
	}
	if err := rd.finish(); err != nil {
		return nil, err
	}
	return rd.file, nil
}

// reader holds what is read until all of it is there: references to points may
// come before the points.
type reader struct {
	*decoder
	file     *File
	units    *units
	points   []*cgPoint
	named    map[string]*place // COGO points by their names
	surfaces []*surface
	passed   []string // names of the surfaces passed over
	features []*feature
	dtm      map[string]int // COGO points that are said to be more than spots, by what they are
	notRead  map[string]int // elements passed over, by name

	marked tally // levels of -999 and -9999
	curves tally
	chords int
}

// tally counts something and remembers the line where it was met first.
type tally struct{ count, line int }

func (t *tally) add(line int) {
	if t.count == 0 {
		t.line = line
	}
	t.count++
}

// root reads the outermost element.
func (r *reader) root() error {
	for {
		tok, err := r.token()
		if err != nil {
			return err
		}
		el, ok := tok.(xml.StartElement)
		if !ok {
			if text := words(tok); text != "" {
				return r.fail("not_landxml", fmt.Sprintf("the file begins with the text %q, not with <LandXML>", short(text)), "check that it is the right file")
			}
			continue
		}
		if el.Name.Local != "LandXML" {
			return r.fail("not_landxml", fmt.Sprintf("the file begins with <%s>, not with <LandXML>", short(el.Name.Local)), "check that it is the right file")
		}
		r.space = el.Name.Space
		r.file.Version, r.file.Date, r.file.Time = attr(el, "version"), attr(el, "date"), attr(el, "time")
		if err := r.each(r.part); err != nil {
			return err
		}
		return r.after()
	}
}

// after reads to the end of the file, so that nothing follows the root unseen.
func (r *reader) after() error {
	for {
		r.src.left = maxToken
		tok, err := r.xml.Token()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return r.notXML(err)
		}
		if _, ok := tok.(xml.StartElement); ok {
			return r.fail("bad_xml", "an element follows the end of the outermost one", "keep one <LandXML> a file")
		}
		if text := words(tok); text != "" {
			return r.fail("bad_xml", fmt.Sprintf("the text %q follows the end of the outermost element", short(text)), "take it out, or export the file again")
		}
	}
}

// words gives text that is not blank.
func words(tok xml.Token) string {
	text, _ := tok.(xml.CharData)
	return string(bytes.TrimSpace(text))
}

// part reads an element of the root.
func (r *reader) part(el xml.StartElement) error {
	switch el.Name.Local {
	case "Units":
		return r.each(r.unitsOf)
	case "CoordinateSystem":
		return r.coordinateSystem(el)
	case "Project":
		r.file.Project = attr(el, "name")
	case "Application":
		if r.file.Application == "" {
			r.file.Application = attr(el, "name")
		}
	case "CgPoints":
		return r.cgPoints(el, cgGroup{})
	case "Surfaces":
		return r.each(r.surfaceOrVolumes)
	case "PlanFeatures":
		return r.each(r.planFeature)
	case "Parcels":
		return r.each(r.parcel)
	case "FeatureDictionary":
	default:
		r.notRead[el.Name.Local]++
	}
	return r.skip()
}

// coordinateSystemAttributes are those of the schema, in its order.
func coordinateSystemAttributes() []string {
	return []string{
		"desc", "name", "epsgCode", "ogcWktCode", "horizontalDatum", "verticalDatum", "ellipsoidName",
		"horizontalCoordinateSystemName", "geocentricCoordinateSystemName", "fileLocation", "rotationAngle", "datum",
		"fittedCoordinateSystemName", "compoundCoordinateSystemName", "localCoordinateSystemName",
		"geographicCoordinateSystemName", "projectedCoordinateSystemName", "verticalCoordinateSystemName",
	}
}

func (r *reader) coordinateSystem(el xml.StartElement) error {
	if r.file.CoordinateSystem != nil {
		return r.fail("repeated_element", "a second <CoordinateSystem>", "keep one of them")
	}
	r.file.CoordinateSystem = make(map[string]string)
	for _, name := range coordinateSystemAttributes() {
		if v := attr(el, name); v != "" {
			r.file.CoordinateSystem[name] = v
		}
	}
	return r.skip()
}

// finish puts together what was read.
func (r *reader) finish() error {
	if err := r.finishPoints(); err != nil {
		return err
	}
	if err := r.finishSurfaces(); err != nil {
		return err
	}
	if err := r.finishFeatures(); err != nil {
		return err
	}
	r.finishNotes()
	f := r.file
	if len(f.Surfaces)+len(f.Points)+len(f.NotGround)+len(f.Features) == 0 {
		return &tin.InputError{Code: "nothing_to_read", File: r.name, Message: "the file has no surface, point, plan feature or parcel", Hint: "check that it is the right file"}
	}
	return nil
}

// note adds a note about the file.
func (r *reader) note(code, message string) {
	r.file.Notes = append(r.file.Notes, tin.Problem{Code: code, Message: message})
}

func (r *reader) finishNotes() {
	if v := r.file.Version; v != "1.0" && v != "1.1" && v != "1.2" {
		r.note("version_unknown", fmt.Sprintf("the file states the version %q of the schema; 1.0 to 1.2 are known, and it was read as such", short(v)))
	}
	r.noteUnits()
	if len(r.dtm) > 0 {
		r.note("points_marked", "COGO points marked as more than spots were taken as points: "+listed(r.dtm))
	}
	if len(r.notRead) > 0 {
		r.note("not_read", "elements that were not read: "+listed(r.notRead))
	}
}

// listed writes counts by name.
func listed(counts map[string]int) string {
	const most = 12
	var list []string
	for i, name := range slices.Sorted(maps.Keys(counts)) {
		if i == most {
			list = append(list, fmt.Sprintf("and %d more", len(counts)-most))
			break
		}
		list = append(list, fmt.Sprintf("%s %d", short(name), counts[name]))
	}
	return strings.Join(list, ", ")
}
