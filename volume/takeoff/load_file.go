package takeoff

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

// dataFile is a data file as a job names it: by a text alone, or by a table that says
// more of it.
type dataFile struct {
	at   *tomltree.Node // its name
	name string         // in the file system
	kind fileKind

	stated tin.Unit       // the unit that the job says it is in; 0: it says nothing
	units  *tomltree.Node // where it does

	columns *tomltree.Node // the order of the columns of a point file; nil: not stated
	only    string         // of its shapes those of this name; empty: all
	surface string         // of LandXML, the surface of this name; empty: not said
	survey  surveyKeys
	state   func(order string) string
}

// fileKind is what a file holds, as its name tells.
type fileKind int

const (
	pointTable fileKind = iota // delimited text: all that is nothing else
	geoJSON
	landXML
	lasPoints
	geoTIFF
	asciiGrid
	packed // nothing that can be read as it is
)

// kindOf tells the kind of a file by the end of its name.
func kindOf(name string) fileKind {
	switch strings.ToLower(path.Ext(name)) {
	case ".geojson", ".json":
		return geoJSON
	case ".xml", ".landxml":
		return landXML
	case ".las":
		return lasPoints
	case ".tif", ".tiff":
		return geoTIFF
	case ".asc":
		return asciiGrid
	case ".laz", ".zip", ".gz":
		return packed
	}
	return pointTable
}

// String names a file of the kind.
func (k fileKind) String() string {
	switch k {
	case geoJSON:
		return "a GeoJSON file"
	case landXML:
		return "a LandXML file"
	case lasPoints:
		return "a LAS file"
	case geoTIFF:
		return "a GeoTIFF"
	case asciiGrid:
		return "an ASCII grid"
	case packed:
		return "a packed file"
	}
	return "a point file"
}

// holdsLines reports whether a file of the kind can hold lines and outlines.
func (k fileKind) holdsLines() bool { return k == pointTable || k == geoJSON || k == landXML }

// keys are those that say more of a file of the kind, beside its name and its unit; some
// go with a survey alone.
func (k fileKind) keys(survey bool) []string {
	switch {
	case k == pointTable:
		return []string{"columns"}
	case k == landXML && survey:
		return []string{"surface", "as"}
	case k == landXML:
		return []string{"name", "surface"}
	case k == geoJSON && !survey:
		return []string{"name"}
	case k == lasPoints && survey:
		return []string{"classes", "overlap", "thin"}
	}
	return nil
}

// dataFile reads how a file of shapes is named: a text, or a table with the key file.
func (l *loader) dataFile(n *tomltree.Node, example string) dataFile {
	return l.namedFile(n, example, false)
}

// surveyFile reads how a file of a survey is named.
func (l *loader) surveyFile(n *tomltree.Node, example string) dataFile {
	return l.namedFile(n, example, true)
}

func (l *loader) namedFile(n *tomltree.Node, example string, survey bool) dataFile {
	f := dataFile{at: n}
	if n != nil && n.Kind == tomltree.Table {
		f.at = l.need(n, "file", example)
	}
	if f.at == nil || l.err != nil {
		return f
	}
	f.name = l.path(f.at, example)
	f.kind = kindOf(f.name)
	f.state = func(order string) string { return fmt.Sprintf("{ file = %q, columns = %q }", f.at.Text, order) }
	l.unpacked(&f)
	if n.Kind == tomltree.Table {
		l.sayMore(n, "file", &f, survey)
	}
	return f
}

// unpacked refuses a file that must be unpacked first.
func (l *loader) unpacked(f *dataFile) {
	if l.err == nil && f.kind == packed {
		l.fail(f.at, codeFileKind, fmt.Sprintf("%q is packed, and is not read as it is", f.name),
			"unpack it first; compressed points (.laz) are written out as .las by the program they came from")
	}
}

// wrongKind refuses a file of a kind that does not hold what is wanted; where says where
// that is read from.
func (l *loader) wrongKind(f *dataFile, wanted, where string) {
	if l.err == nil {
		l.fail(f.at, codeFileKind, fmt.Sprintf("%q is %s, which holds no %s", f.name, f.kind, wanted), wanted+" are read from "+where)
	}
}

// sayMore reads what a table says of a file beside its name, which has a key of its own,
// and refuses what does not go with its kind.
func (l *loader) sayMore(n *tomltree.Node, named string, f *dataFile, survey bool) {
	keys := append(f.kind.keys(survey), "units")
	for _, field := range n.Fields {
		if field.Name != named && !slices.Contains(keys, field.Name) {
			l.fail(field.Value, codeUnknownKey,
				fmt.Sprintf("the key %q does not go with %s", field.Name, f.kind), "with it go: "+strings.Join(keys, ", "))
		}
	}
	f.columns = n.Get("columns")
	f.only = l.text(n.Get("name"), `name = "store"`)
	f.surface = l.text(n.Get("surface"), `surface = "existing ground"`)
	if f.only != "" && f.surface != "" {
		l.fail(n.Get("name"), codeBadValue, "name is that of a feature, and the shapes of a surface have none", "leave out name or surface")
	}
	l.surveyKeys(n, f)
	f.units = n.Get("units")
	f.stated = l.unitWord(f.units)
}

// takes reports whether a shape of the name is asked for.
func (f *dataFile) takes(name string) bool { return f.only == "" || f.only == name }

// named returns the points of the name asked for, or all.
func (f *dataFile) named(points []tin.Point) (out []tin.Point) {
	for _, p := range points {
		if f.takes(p.Name) {
			out = append(out, p)
		}
	}
	return out
}

// unitWord reads a unit's name; 0 for none.
func (l *loader) unitWord(n *tomltree.Node) tin.Unit {
	switch l.word(n, "m", "ft", "ftUS") {
	case "m":
		return tin.Metre
	case "ft":
		return tin.Foot
	case "ftUS":
		return tin.SurveyFoot
	}
	return 0
}
