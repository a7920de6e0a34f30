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
	state   func(order string) string
}

// fileKind is what a file holds, as its name tells.
type fileKind int

const (
	pointTable fileKind = iota // delimited text: all that is nothing else
	geoJSON
)

// kindOf tells the kind of a file by the end of its name.
func kindOf(name string) fileKind {
	switch strings.ToLower(path.Ext(name)) {
	case ".geojson", ".json":
		return geoJSON
	}
	return pointTable
}

// fileKindFacts are what is said of a kind in messages, and the keys that say more of
// such a file.
type fileKindFacts struct {
	words string
	keys  []string
}

func (k fileKind) facts() fileKindFacts {
	switch k {
	case geoJSON:
		return fileKindFacts{"a GeoJSON file", []string{"name"}}
	}
	return fileKindFacts{"a point file", []string{"columns"}}
}

// dataFile reads how a file is named: a text, or a table with the key file.
func (l *loader) dataFile(n *tomltree.Node, example string) dataFile {
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
	if n.Kind == tomltree.Table {
		l.sayMore(n, "file", &f)
	}
	return f
}

// sayMore reads what a table says of a file beside its name, which has a key of its own,
// and refuses what does not go with its kind.
func (l *loader) sayMore(n *tomltree.Node, named string, f *dataFile) {
	facts := f.kind.facts()
	for _, field := range n.Fields {
		if field.Name != named && field.Name != "units" && !slices.Contains(facts.keys, field.Name) {
			l.fail(field.Value, codeUnknownKey,
				fmt.Sprintf("the key %q does not go with %s", field.Name, facts.words), "with it go: "+strings.Join(append(facts.keys, "units"), ", "))
		}
	}
	f.columns = n.Get("columns")
	f.only = l.text(n.Get("name"), `name = "store"`)
	f.units = n.Get("units")
	f.stated = l.unitWord(f.units)
}

// takes reports whether a shape of the name is asked for.
func (f *dataFile) takes(name string) bool { return f.only == "" || f.only == name }

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
