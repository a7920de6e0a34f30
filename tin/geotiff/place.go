package geotiff

import (
	"fmt"

	"barrow/tin"
	"barrow/tin/raster"
)

// placement says where the samples of an image lie: the place of the corner of
// the first one (or of that one itself) and the steps along rows and columns.
type placement struct {
	e, n         float64 // where column i and row j of the file are
	i, j         float64
	stepE, stepN float64
	southUp      bool // the first row is the south one
}

// place reads system, units and place of an image into the grid.
func (d *directory) place(l *layout, g *raster.Grid) (*placement, error) {
	k, err := d.keys()
	if err != nil {
		return nil, err
	}
	if err := k.system(g); err != nil {
		return nil, err
	}
	half, err := k.half(g)
	if err != nil {
		return nil, err
	}
	p, err := d.placement()
	if err != nil {
		return nil, err
	}
	g.StepE, g.StepN = p.stepE, p.stepN
	row, step := float64(l.rows-1)+half-p.j, -p.stepN
	if p.southUp {
		row, step = half-p.j, p.stepN
	}
	g.Origin[0] = raster.Along(p.e, half-p.i, p.stepE)
	g.Origin[1] = raster.Along(p.n, row, step)
	return p, nil
}

// system takes the coordinate system, and refuses one that is no plane grid.
func (k *keys) system(g *raster.Grid) error {
	switch model := k.short[keyModel]; model {
	case modelProjected:
	case modelGeographic, modelGeocentric:
		return k.d.fail("not_projected", "coordinates are longitude and latitude, or measured from the earth's centre: distances and areas are none of a plane grid",
			"project the raster to the grid of the site, in metres or feet")
	case 0, userDefined:
		g.Notes = append(g.Notes, tin.Problem{Code: "no_system", Message: "the file does not say that its coordinates are a projected system; they were taken as the grid of the site"})
	default:
		return k.d.fail("bad_keys", fmt.Sprintf("the model type is %d", model), "export the raster again")
	}
	g.CRS.Name = k.text[keyCitation]
	g.CRS.EPSG, g.CRS.VerticalEPSG = k.epsg(keyPlan), k.epsg(keyVertical)
	var err error
	if g.Unit, err = k.unit(keyUnit, "plan coordinates"); err != nil {
		return err
	}
	g.VerticalUnit, err = k.unit(keyVerticalUnit, "levels")
	return err
}

// epsg returns the EPSG code that a key gives; 0 if it gives none.
func (k *keys) epsg(key int) int {
	if code := k.short[key]; code != userDefined {
		return code
	}
	return 0
}

// half returns where in its cell a sample lies, from its upper left corner: 0.5
// where the cell's corner is placed, 0 where the sample itself is.
func (k *keys) half(g *raster.Grid) (float64, error) {
	switch kind := k.short[keyRaster]; kind {
	case rasterArea:
		return 0.5, nil
	case rasterPoint:
		return 0, nil
	case 0:
		g.Notes = append(g.Notes, tin.Problem{
			Code:    "area_assumed",
			Message: "the file does not say whether a sample stands for an area or a point; an area was taken, as most programs do: each level lies half a step from its cell's corner",
		})
		return 0.5, nil
	default:
		return 0, k.d.fail("bad_keys", fmt.Sprintf("the raster type is %d", kind), "export the raster again")
	}
}

// placement reads scale and tie point, or the matrix.
func (d *directory) placement() (*placement, error) {
	scale, err := d.doubles(tagPixelScale)
	if err != nil {
		return nil, err
	}
	ties, err := d.doubles(tagTiepoints)
	if err != nil {
		return nil, err
	}
	matrix, err := d.doubles(tagTransformation)
	if err != nil {
		return nil, err
	}
	switch {
	case scale == nil && matrix == nil && len(ties) > 6:
		return nil, d.fail("ground_control", fmt.Sprintf("the raster is placed by %d ground control points", len(ties)/6), "warp it to a north-up grid")
	case scale == nil && matrix == nil:
		return nil, d.fail("not_placed", "the file does not say where its samples lie; files beside it are not read",
			"write scale and tie point into the file itself")
	case scale == nil:
		return d.byMatrix(matrix)
	}
	return d.byScale(scale, ties)
}

// byScale: x = X + (column - i) sx, y = Y - (row - j) sy.
func (d *directory) byScale(scale, ties []float64) (*placement, error) {
	if len(scale) != 3 || len(ties) != 6 {
		return nil, d.fail("bad_place", fmt.Sprintf("%s has %d numbers and %s %d, and should have 3 and 6", show(tagPixelScale), len(scale), show(tagTiepoints), len(ties)),
			"export the raster again")
	}
	if scale[0] <= 0 || scale[1] <= 0 {
		return nil, d.fail("bad_place", fmt.Sprintf("the pixel scale is %v, %v, and must be above 0", scale[0], scale[1]), "export the raster north-up")
	}
	if ties[2] != 0 || ties[5] != 0 || scale[2] != 0 && scale[2] != 1 {
		return nil, d.fail("scaled_levels", fmt.Sprintf("scale and tie point change levels too: scale %v, from %v to %v", scale[2], ties[2], ties[5]),
			"export the raster with levels as they are")
	}
	return &placement{e: ties[3], n: ties[4], i: ties[0], j: ties[1], stepE: scale[0], stepN: scale[1]}, nil
}

// byMatrix: x = a column + b row + d, y = e column + f row + h.
func (d *directory) byMatrix(m []float64) (*placement, error) {
	if len(m) != 16 {
		return nil, d.fail("bad_place", fmt.Sprintf("%s has %d numbers, and should have 16", show(tagTransformation), len(m)), "export the raster again")
	}
	if m[1] != 0 || m[4] != 0 || m[0] <= 0 || m[5] == 0 {
		return nil, d.fail("rotated", fmt.Sprintf("the grid is turned or mirrored: along a row %v, %v, down a column %v, %v", m[0], m[4], m[1], m[5]),
			"warp the raster to a north-up grid")
	}
	if m[2] != 0 || m[6] != 0 || m[8] != 0 || m[9] != 0 || m[11] != 0 || m[10] != 0 && m[10] != 1 {
		return nil, d.fail("scaled_levels", "the transformation changes levels too", "export the raster with levels as they are")
	}
	p := &placement{e: m[3], n: m[7], stepE: m[0], stepN: -m[5]}
	if p.southUp = m[5] > 0; p.southUp {
		p.stepN = m[5]
	}
	return p, nil
}
