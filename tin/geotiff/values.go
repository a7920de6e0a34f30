package geotiff

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"barrow/tin"
	"barrow/tin/raster"
)

// values says what the samples of an image stand for.
type values struct {
	hasNoData     bool
	noData        float64
	whole         bool    // samples are whole numbers
	scale, offset float64 // level = scale x sample + offset
}

// values reads the value for no data, scale and offset, and the unit of levels
// from the band's metadata.
func (d *directory) values(s *samples, g *raster.Grid) (*values, error) {
	v := &values{scale: 1}
	if err := d.readNoData(v, s); err != nil {
		return nil, err
	}
	if err := d.readMetadata(v, g); err != nil {
		return nil, err
	}
	if v.scale != 1 || v.offset != 0 {
		g.Notes = append(g.Notes, tin.Problem{Code: "scaled_samples", Message: fmt.Sprintf("levels are the samples times %v plus %v, as the band's metadata say", v.scale, v.offset)})
	}
	noteUnits(g)
	return v, nil
}

// noteUnits says which units are not stated, or differ.
func noteUnits(g *raster.Grid) {
	plan, vertical := g.Unit, g.VerticalUnit
	if plan != 0 && vertical != 0 {
		if plan != vertical {
			g.Notes = append(g.Notes, tin.Problem{Code: "level_unit_differs", Message: fmt.Sprintf("plan coordinates are in %v, levels in %v", plan, vertical)})
		}
		return
	}
	what := "its plan coordinates and its levels are"
	switch {
	case plan != 0:
		what = "its levels are"
	case vertical != 0:
		what = "its plan coordinates are"
	}
	message := "the file does not say what unit " + what + " in"
	if plan == 0 && g.CRS.EPSG != 0 {
		message += fmt.Sprintf("; that of EPSG %d was not looked up", g.CRS.EPSG)
	}
	g.Notes = append(g.Notes, tin.Problem{Code: "unit_not_stated", Message: message})
}

// readNoData reads the value that stands for no data.
func (d *directory) readNoData(v *values, s *samples) error {
	text, ok := d.text(tagNoData)
	if !ok || text == "" {
		return nil
	}
	noData, err := strconv.ParseFloat(text, 64)
	if err != nil && !math.IsInf(noData, 0) {
		return d.fail("bad_no_data", fmt.Sprintf("%s is %q, which is no number", show(tagNoData), text), "export the raster again")
	}
	v.hasNoData, v.noData, v.whole = true, noData, s.format != formatFloating
	return nil
}

// dropNoData turns samples without data into NaN.
func (v *values) dropNoData(levels []float64) {
	if !v.hasNoData {
		return
	}
	for i, sample := range levels {
		if sample == v.noData || !v.whole && raster.NoData(sample, v.noData) {
			levels[i] = math.NaN()
		}
	}
}

// toLevels applies scale and offset.
func (v *values) toLevels(levels []float64) {
	if v.scale == 1 && v.offset == 0 {
		return
	}
	for i, sample := range levels {
		levels[i] = float64(sample*v.scale) + v.offset
	}
}

// metadata is the XML text of tag 42112.
type metadata struct {
	Items []struct {
		Sample string `xml:"sample,attr"`
		Role   string `xml:"role,attr"`
		Value  string `xml:",chardata"`
	} `xml:"Item"`
}

// readMetadata reads scale, offset and unit of the first band.
func (d *directory) readMetadata(v *values, g *raster.Grid) error {
	text, ok := d.text(tagMetadata)
	if !ok {
		return nil
	}
	bad := func(what string) error {
		return d.fail("bad_metadata", show(tagMetadata)+": "+what, "export the raster again")
	}
	if len(text) > maxMetadata {
		return bad(fmt.Sprintf("%d bytes are more than are read", len(text)))
	}
	var m metadata
	if err := xml.Unmarshal([]byte(text), &m); err != nil {
		return bad(err.Error())
	}
	for _, item := range m.Items {
		if item.Sample != "0" {
			continue
		}
		value := strings.TrimSpace(item.Value)
		var to *float64
		switch item.Role {
		case "scale":
			to = &v.scale
		case "offset":
			to = &v.offset
		case "unittype":
			if err := d.verticalUnit(value, g); err != nil {
				return err
			}
			continue
		default:
			continue
		}
		var err error
		if *to, err = strconv.ParseFloat(value, 64); err != nil || math.IsNaN(*to) || math.IsInf(*to, 0) {
			return bad(fmt.Sprintf("the %s of the levels is %q, which is no number", item.Role, value))
		}
	}
	if v.scale == 0 {
		return bad("the scale of the levels is 0")
	}
	return nil
}

// verticalUnits are words for units in band metadata.
var verticalUnits = map[string]tin.Unit{
	"m": tin.Metre, "metre": tin.Metre, "metres": tin.Metre, "meter": tin.Metre, "meters": tin.Metre,
	"ft": tin.Foot, "foot": tin.Foot, "feet": tin.Foot,
	"ftus": tin.SurveyFoot, "us-ft": tin.SurveyFoot, "us survey foot": tin.SurveyFoot, "us survey feet": tin.SurveyFoot,
	"cm": 0.01, "centimetre": 0.01, "centimeter": 0.01, "mm": 0.001, "millimetre": 0.001, "millimeter": 0.001,
}

// verticalUnit takes the unit of levels that the metadata give.
func (d *directory) verticalUnit(word string, g *raster.Grid) error {
	unit, ok := verticalUnits[strings.ToLower(word)]
	switch {
	case word == "":
		return nil
	case !ok:
		return d.fail("unknown_unit", fmt.Sprintf("the unit of levels is %q, which is not known", word), "export the raster in metres or feet")
	case g.VerticalUnit != 0 && g.VerticalUnit != unit:
		return d.fail("units_disagree", fmt.Sprintf("levels are in %v by the geo keys and in %v by the band's metadata", g.VerticalUnit, unit), "correct one of the two")
	}
	g.VerticalUnit = unit
	return nil
}
