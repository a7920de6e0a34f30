package takeoff

import (
	"math"

	"barrow/volume"
	"barrow/volume/material"
)

// haul plans the hauls on site, over cells so large that there are no more than the
// plan takes.
func (m *materials) haul() error {
	if m.out.FillFromSite == nil || *m.out.FillFromSite == 0 || m.res.Total.Fill == 0 {
		return nil
	}
	side := m.firstSide()
	for {
		split, err := volume.SplitWorks(m.ctx, m.works(), volume.Split{Parts: m.parts, CellSize: side * m.unit})
		if err != nil {
			return m.keyed(err)
		}
		m.site.Cells = m.cells(split.Cells)
		out, err := material.Reckon(m.site)
		if e := asInputError(err); e != nil && e.Code == material.CodeHaulPlaces {
			side = nextSide(side)
			continue
		}
		if err != nil {
			m.note(NoteHaulNone, "no plan of hauls on site: %s", err)
			return nil
		}
		m.out = out
		m.onGround(side)
		return nil
	}
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
			for k, i := range m.of {
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
	m.note(NoteHaulCells, "the haul on site is planned between cells %s %s square, no more than %d of cut and %d of fill: straight, in plan, from the middle of what is dug in a cell to the middle of what is filled",
		formatNumber(h.Cell), m.res.Units.Length, material.MostHaulPlaces, material.MostHaulPlaces)
}
