package report

import (
	"io"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/takeoff"
)

// PointsJSON writes the same as one JSON object, with every line listed.
func PointsJSON(w io.Writer, f *pointfile.File, d *pointfile.Description) error {
	out := struct {
		Schema     int              `json:"schema"`
		Program    takeoff.Program  `json:"program"`
		File       string           `json:"file"`
		Points     int              `json:"points"`
		PlanOnly   int              `json:"plan_only"`
		Lines      int              `json:"lines"`
		Blank      int              `json:"blank"`
		Comments   int              `json:"comments"`
		Columns    []string         `json:"columns"`
		Header     bool             `json:"header"`
		Separator  string           `json:"separator"`
		Decimal    string           `json:"decimal"`
		Extent     *jsonExtent      `json:"extent,omitempty"`
		Levels     *jsonLevels      `json:"levels,omitempty"`
		Spacing    float64          `json:"spacing,omitempty"`
		Codes      []jsonCode       `json:"codes"`
		Uncoded    int              `json:"uncoded"`
		Duplicates []jsonDuplicate  `json:"duplicates"`
		Suspects   []jsonSuspect    `json:"suspects"`
		Notes      []takeoff.Remark `json:"notes"`
	}{
		Schema: takeoff.SchemaVersion, Program: takeoff.Program{Name: "barrow", Version: takeoff.Version},
		File: f.Name, Points: d.Points, PlanOnly: d.PlanOnly, Lines: f.Lines, Blank: f.Blank, Comments: f.Comments,
		Columns: f.Columns, Header: f.Header, Separator: f.Separator, Decimal: "point", Spacing: d.Spacing, Uncoded: d.Uncoded,
		Extent: extentOf(d), Levels: levelsOf(d), Codes: codesOf(d), Duplicates: duplicatesOf(d), Suspects: suspectsOf(d), Notes: notesOf(f.Notes),
	}
	if f.DecimalComma {
		out.Decimal = "comma"
	}
	return writeJSON(w, out)
}

type jsonPoint struct {
	Line  int32    `json:"line"`
	Name  string   `json:"name,omitempty"`
	E     float64  `json:"e"`
	N     float64  `json:"n"`
	Level *float64 `json:"level,omitempty"`
}

func pointObject(p tin.Point) jsonPoint {
	q := jsonPoint{Line: p.Line, Name: p.Name, E: p.E, N: p.N}
	if p.HasLevel() {
		q.Level = &p.Level
	}
	return q
}

type jsonLevels struct {
	Count int     `json:"count"`
	Min   float64 `json:"min"`
	Max   float64 `json:"max"`
	Mean  float64 `json:"mean"`
	SD    float64 `json:"standard_deviation"`
}

func levelsOf(d *pointfile.Description) *jsonLevels {
	l := d.Levels
	if l.Count == 0 {
		return nil
	}
	return &jsonLevels{l.Count, l.Min, l.Max, l.Mean, l.SD}
}

type jsonDuplicate struct {
	First     jsonPoint `json:"first"`
	Second    jsonPoint `json:"second"`
	SameLevel bool      `json:"same_level"`
}

func duplicatesOf(d *pointfile.Description) []jsonDuplicate {
	out := []jsonDuplicate{}
	for _, p := range d.Duplicates {
		out = append(out, jsonDuplicate{pointObject(p.First), pointObject(p.Second), p.SameLevel})
	}
	return out
}

type jsonCode struct {
	Code  string `json:"code"`
	Count int    `json:"count"`
}

func codesOf(d *pointfile.Description) []jsonCode {
	out := []jsonCode{}
	for _, c := range d.Codes {
		out = append(out, jsonCode{c.Code, c.Count})
	}
	return out
}

type jsonSuspect struct {
	Doubt   string    `json:"doubt"`
	Point   jsonPoint `json:"point"`
	Message string    `json:"message"`
}

func suspectsOf(d *pointfile.Description) []jsonSuspect {
	out := []jsonSuspect{}
	for _, p := range d.Suspects {
		out = append(out, jsonSuspect{p.Doubt.String(), pointObject(p.Point), p.Message})
	}
	return out
}

type jsonExtent struct {
	Min takeoff.Place `json:"min"`
	Max takeoff.Place `json:"max"`
}

func extentOf(d *pointfile.Description) *jsonExtent {
	if d.Points == 0 {
		return nil
	}
	return &jsonExtent{takeoff.Place(d.Extent.Min), takeoff.Place(d.Extent.Max)}
}

func notesOf(notes []tin.Problem) []takeoff.Remark {
	out := []takeoff.Remark{}
	for _, n := range notes {
		out = append(out, takeoff.Remark{Code: n.Code, Message: n.Message})
	}
	return out
}
