package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"barrow/volume/takeoff/internal/tomltree"
)

// keysOf lists the keys of each table of a job file. What is not here is an
// error, so that a misspelt key never passes for one left out. The tables in
// this file are never written to.
var keysOf = map[string][]string{
	"job": {"name", "units", "scale", "plan_to_site", "survey", "ground", "clearance", "alignment", "pad", "respread",
		"material", "import", "truck", "machine", "rates"},
	"survey": {"points", "columns", "state", "ignore_codes", "line_codes", "breaklines", "benchmark", "check", "check_tolerance",
		"replaces_within", "step_tolerance", "sd"},
	"ground":    {"boundary", "voids", "max_edge", "duplicates", "crossing_tolerance", "topsoil", "soil"},
	"clearance": {"name", "stay", "shape", "distance"},
	"alignment": {"name", "line", "start", "interval", "at", "reach", "run_out", "haul"},
	"haul":      {"compacted_per_bank", "loose_per_bank", "free_haul", "longest_haul"},
	"pad": {"name", "outline", "plan_to_site", "finished", "layers", "fall", "levels", "spots", "breaklines",
		"margin", "batter", "berm", "edges", "layers_to", "thickenings", "backfill", "not_below", "not_above", "soil", "tolerance"},
	"thickening":   {"name", "line", "area", "width", "depth", "from", "slab", "underside", "layers", "batter"},
	"own_layer":    {"name", "thickness"},
	"backfill":     {"to", "around"},
	"benchmark":    {"name", "plan", "measured", "sd"},
	"mark":         {"name", "plan", "measured"},
	"topsoil":      {"depth", "beyond", "within", "areas", "sd"},
	"topsoil_area": {"name", "area", "depth"},
	"claim":        {"units", "cut", "fill", "measure", "factor", "fill_factor", "load", "basis", "topsoil"},
	"berm":         {"every", "width"},
	"layer":        {"name", "thickness", "to", "sd"},
	"fall":         {"slope", "bearing", "at"},
	"batter":       {"cut", "fill"},
	"edge":         {"from", "to", "face", "margin", "batter"},
	"plan_to_site": {"plan", "site"},
	"outline":      {"file", "columns", "name", "units", "surface", "points", "corner", "bearing", "length", "width"},
	"shape":        {"file", "columns", "name", "units", "surface", "points", "corner", "bearing", "length", "width", "line", "point"},
	"line":         {"file", "columns", "name", "units", "surface"},
	"breaklines":   {"file", "name", "units", "surface"},
	"points":       {"file", "columns", "units", "surface", "as", "classes", "overlap", "thin"},
	"thin":         {"cell", "keep"},
	"material": {"name", "kind", "loose_per_bank", "swell", "compacted_per_bank", "shrink", "density", "reuse", "lies",
		"from", "to", "by", "within", "below", "above"},
	"shrink":  {"percent", "of"},
	"horizon": {"points", "columns", "ignore_codes", "benchmark"},
	"import":  {"name", "measure", "loose_per_bank", "swell", "compacted_per_bank", "shrink", "density"},
	"truck":   {"name", "body", "payload", "cycle"},
	"machine": {"name", "bucket", "fill_factor", "cycle", "efficiency", "hours_per_day", "work", "truck", "trucks"},
}

// tableOrder is the order in which another table is looked for that knows a
// key.
var tableOrder = []string{"job", "survey", "ground", "pad", "layer", "fall", "benchmark", "mark", "outline", "clearance", "alignment", "material", "import", "truck", "machine"}

// childTables tells which table a key holds, in which table.
var childTables = map[[2]string]string{
	{"job", "survey"}:             "survey",
	{"survey", "points"}:          "points",
	{"points", "thin"}:            "thin",
	{"survey", "breaklines"}:      "breaklines",
	{"pad", "breaklines"}:         "breaklines",
	{"horizon", "points"}:         "points",
	{"job", "ground"}:             "ground",
	{"job", "clearance"}:          "clearance",
	{"job", "alignment"}:          "alignment",
	{"job", "pad"}:                "pad",
	{"job", "plan_to_site"}:       "plan_to_site",
	{"survey", "benchmark"}:       "benchmark",
	{"survey", "check"}:           "mark",
	{"ground", "topsoil"}:         "topsoil",
	{"survey", "replaces_within"}: "outline",
	{"topsoil", "areas"}:          "topsoil_area",
	{"job", "respread"}:           "topsoil_area",
	{"topsoil", "within"}:         "outline",
	{"topsoil_area", "area"}:      "outline",
	{"pad", "berm"}:               "berm",
	{"ground", "boundary"}:        "outline",
	{"ground", "voids"}:           "outline",
	{"clearance", "shape"}:        "shape",
	{"alignment", "line"}:         "line",
	{"alignment", "haul"}:         "haul",
	{"pad", "outline"}:            "outline",
	{"pad", "layers"}:             "layer",
	{"pad", "fall"}:               "fall",
	{"pad", "batter"}:             "batter",
	{"pad", "edges"}:              "edge",
	{"pad", "thickenings"}:        "thickening",
	{"thickening", "line"}:        "outline",
	{"thickening", "area"}:        "outline",
	{"thickening", "layers"}:      "own_layer",
	{"pad", "backfill"}:           "backfill",
	{"backfill", "around"}:        "outline",
	{"pad", "plan_to_site"}:       "plan_to_site",
	{"pad", "spots"}:              "outline",
	{"job", "material"}:           "material",
	{"job", "import"}:             "import",
	{"job", "truck"}:              "truck",
	{"job", "machine"}:            "machine",
	{"material", "shrink"}:        "shrink",
	{"import", "shrink"}:          "shrink",
	{"material", "within"}:        "outline",
	{"material", "below"}:         "horizon",
	{"material", "above"}:         "horizon",
	{"horizon", "benchmark"}:      "mark",
	{"edge", "batter"}:            "batter",
}

// checkKeys walks a table of the kind, and the tables in it, and refuses the
// first key it does not know.
func (l *loader) checkKeys(n *tomltree.Node, kind string) {
	switch n.Kind {
	case tomltree.Array:
		for _, item := range n.Items {
			l.checkKeys(item, kind)
		}
	case tomltree.Table:
		for _, f := range n.Fields {
			if !slices.Contains(keysOf[kind], f.Name) {
				l.unknownKey(n, f, kind)
				return
			}
			if child := childTables[[2]string{kind, f.Name}]; child != "" {
				l.checkKeys(f.Value, child)
			}
		}
	}
}

func (l *loader) unknownKey(n *tomltree.Node, f tomltree.Field, kind string) {
	at := &tomltree.Node{Key: n.Child(f.Name), Line: f.Line, Column: f.Column}
	message := fmt.Sprintf("unknown key %q", f.Name)
	known := "known here: " + strings.Join(keysOf[kind], ", ")
	if w := NearestWord(strings.ToLower(f.Name), keysOf[kind]); w != "" {
		l.fail(at, codeUnknownKey, message, fmt.Sprintf("did you mean %q?", w))
		return
	}
	for _, t := range tableOrder {
		if slices.Contains(keysOf[t], f.Name) {
			l.fail(at, codeUnknownKey, message, fmt.Sprintf("this key belongs in %s; %s", tableTitle(t), known))
			return
		}
	}
	l.fail(at, codeUnknownKey, message, known)
}

// tableTitle says where a kind of table stands in the file.
func tableTitle(kind string) string {
	switch kind {
	case "job":
		return "the top of the file, before the first [table]"
	case "survey", "pad", "clearance", "alignment", "material", "truck", "machine":
		return "[[" + kind + "]]"
	case "ground", "import":
		return "[" + kind + "]"
	case "outline":
		return "an outline = { ... }"
	}
	return "a " + kind
}
