package report

import (
	"io"

	"barrow/tin/pointfile"
	"barrow/volume/takeoff"
)

// FileJSON writes what is in a file that is no point file as one JSON object, with
// everything listed.
func FileJSON(w io.Writer, d *takeoff.FileDescription) error {
	out := struct {
		Schema     int              `json:"schema"`
		Program    takeoff.Program  `json:"program"`
		File       string           `json:"file"`
		Kind       string           `json:"kind"`
		Format     string           `json:"format,omitempty"`
		Units      string           `json:"units,omitempty"`
		LevelUnits string           `json:"level_units,omitempty"`
		System     string           `json:"system,omitempty"`
		Points     *jsonSpots       `json:"points,omitempty"`
		Cloud      *jsonCloud       `json:"cloud,omitempty"`
		Raster     *jsonRaster      `json:"raster,omitempty"`
		Surfaces   []jsonSurface    `json:"surfaces,omitempty"`
		Shapes     []jsonShape      `json:"shapes,omitempty"`
		Notes      []takeoff.Remark `json:"notes"`
	}{
		Schema: takeoff.SchemaVersion, Program: takeoff.Program{Name: "barrow", Version: takeoff.Version},
		File: d.Name, Kind: d.Kind, Format: d.Format, Units: d.Units, LevelUnits: d.LevelUnits, System: d.System,
		Points: spotsOf(d.Points), Notes: notesOf(d.Notes),
	}
	if c := d.Cloud; c != nil {
		out.Cloud = &jsonCloud{c.Points, c.Ground, c.Classes, spanObject(c.Span)}
	}
	if r := d.Raster; r != nil {
		out.Raster = &jsonRaster{r.Columns, r.Rows, r.Missing, r.StepE, r.StepN, spanObject(r.Span)}
	}
	for _, s := range d.Surfaces {
		out.Surfaces = append(out.Surfaces, jsonSurface{s.Name, s.State, s.Points, s.Faces, s.Breaklines, s.Boundaries, spanObject(s.Span)})
	}
	for _, s := range d.Shapes {
		out.Shapes = append(out.Shapes, jsonShape(s))
	}
	return writeJSON(w, out)
}

type jsonSpan struct {
	Min      takeoff.Place `json:"min"`
	Max      takeoff.Place `json:"max"`
	LevelMin float64       `json:"level_min"`
	LevelMax float64       `json:"level_max"`
}

func spanObject(s takeoff.Span) jsonSpan {
	return jsonSpan{takeoff.Place(s.Extent.Min), takeoff.Place(s.Extent.Max), s.LowLevel, s.TopLevel}
}

type jsonCloud struct {
	Points  int64                `json:"points"`
	Ground  int64                `json:"ground"`
	Classes []takeoff.ClassCount `json:"classes"`
	Span    jsonSpan             `json:"span"`
}

type jsonRaster struct {
	Columns int      `json:"columns"`
	Rows    int      `json:"rows"`
	Missing int      `json:"missing"`
	StepE   float64  `json:"step_e"`
	StepN   float64  `json:"step_n"`
	Span    jsonSpan `json:"span"`
}

type jsonSurface struct {
	Name       string   `json:"name"`
	State      string   `json:"state,omitempty"`
	Points     int      `json:"points"`
	Faces      int      `json:"faces"`
	Breaklines int      `json:"breaklines"`
	Boundaries int      `json:"boundaries"`
	Span       jsonSpan `json:"span"`
}

type jsonShape struct {
	Name     string `json:"name,omitempty"`
	Closed   bool   `json:"closed"`
	Vertices int    `json:"vertices"`
	Fault    string `json:"fault,omitempty"`
}

// jsonSpots are single points, looked at one by one, as in the object of a point file.
type jsonSpots struct {
	Points     int             `json:"points"`
	PlanOnly   int             `json:"plan_only"`
	Extent     *jsonExtent     `json:"extent,omitempty"`
	Levels     *jsonLevels     `json:"levels,omitempty"`
	Spacing    float64         `json:"spacing,omitempty"`
	Codes      []jsonCode      `json:"codes"`
	Uncoded    int             `json:"uncoded"`
	Duplicates []jsonDuplicate `json:"duplicates"`
	Suspects   []jsonSuspect   `json:"suspects"`
}

func spotsOf(d *pointfile.Description) *jsonSpots {
	if d == nil {
		return nil
	}
	return &jsonSpots{d.Points, d.PlanOnly, extentOf(d), levelsOf(d), d.Spacing, codesOf(d), d.Uncoded, duplicatesOf(d), suspectsOf(d)}
}
