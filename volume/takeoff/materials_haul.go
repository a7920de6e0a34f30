package takeoff

import (
	"math"
	"slices"

	"barrow/volume"
	"barrow/volume/material"
)

// haul plans the hauls on site, over cells so large that there are no more than the
// plan takes.
func (m *materials) haul() error {
	if m.out.FillFromSite == nil || *m.out.FillFromSite == 0 || m.res.Total.Fill == 0 {
		return nil
	}
	if m.topsoilFills() {
		m.note(NoteHaulNone, "no haul on site is planned: topsoil becomes fill, and where it is heaped is not known")
		return nil
	}
	side := m.firstSide()
	for range mostSides {
		out, err := m.planned(side)
		switch e := asInputError(err); {
		case err == nil:
			m.out = out
			m.onGround(side)
			return nil
		case e != nil && (e.Code == material.CodeHaulPlaces || e.Code == volume.CodeTooManyCells):
			side = nextSide(side)
		case e != nil || m.ctx.Err() != nil:
			return m.keyed(err)
		default:
			m.note(NoteHaulNone, "no haul on site is planned: %s", err)
			return nil
		}
	}
	m.note(NoteHaulNone, "no haul on site is planned: there are too many materials for %d places to dig", material.MostHaulPlaces)
	return nil
}

// topsoilFills reports whether fill is made of what is stripped, which is in no cut.
func (m *materials) topsoilFills() bool {
	return slices.ContainsFunc(m.out.Materials, func(x material.MaterialResult) bool { return x.Topsoil && x.Fill > 0 })
}

// mostSides is how many sides of cells are tried: the last is some 10^9 times the first,
// and there are at most four cells of it.
const mostSides = 27

// planned reckons the site with a haul over cells of a side, in the job's unit.
func (m *materials) planned(side float64) (*material.Result, error) {
	split, err := volume.SplitWorks(m.ctx, m.allWorks(), volume.Split{Parts: m.lie.parts, CellSize: side * m.unit})
	if err != nil {
		return nil, err
	}
	m.site.Cells = m.cells(split.Cells)
	return material.Reckon(m.site)
}

// firstSide is a round side, in the job's unit on the grid, of which twice as many cells
// as a plan takes cover the works: some of them are cut, some fill.
func (m *materials) firstSide() float64 {
	least := m.scale * math.Sqrt(m.res.Total.WorksArea/(2*material.MostHaulPlaces))
	side := math.Pow(10, math.Floor(math.Log10(max(least, 1e-3))))
	for side < least {
		side = nextSide(side)
	}
	return side
}

// nextSide is the next of 1, 2, 5, 10, ...
func nextSide(side float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(side)+1e-9))
	switch lead := math.Round(side / ten); {
	case lead < 2:
		return 2 * ten
	case lead < 5:
		return 5 * ten
	}
	return 10 * ten
}

// cells are those of a split in the job's unit. Cut of no material is in none.
func (m *materials) cells(split []volume.Cell) (cells []material.Cell) {
	for _, c := range split {
		cell := material.Cell{DugAt: scalePoint(c.CutAt, 1/m.unit), Fill: material.Compacted(c.Fill / m.volumeUnit()), FillAt: scalePoint(c.FillAt, 1/m.unit)}
		if c.Cut != nil {
			cell.Dug = make([]material.Bank, len(m.site.Materials))
			for k, i := range m.lie.of {
				cell.Dug[i] = material.Bank(c.Cut[k] / m.volumeUnit())
			}
		}
		cells = append(cells, cell)
	}
	return cells
}

// onGround turns distances on the grid into those on the ground, and says how the plan
// was made.
func (m *materials) onGround(side float64) {
	h := m.out.Haul
	if h == nil {
		return
	}
	h.Cell = side / m.scale
	h.VolumeDistance /= m.scale
	h.MeanDistance /= m.scale
	h.GreatestHaul /= m.scale
	for i := range h.Moves {
		h.Moves[i].Distance /= m.scale
	}
	beside := ""
	if m.res.Total.BackfillAsDug > 0 || m.res.Total.ThickeningVolume > 0 {
		beside = "; thickenings and backfill are in no haul"
	}
	m.note(NoteHaulCells, "the haul on site is planned between cells %s %s square, no more than %d of cut and %d of fill: straight, in plan, from the middle of what is dug in a cell to the middle of what is filled%s",
		formatNumber(h.Cell), m.res.Units.Length, material.MostHaulPlaces, material.MostHaulPlaces, beside)
}
