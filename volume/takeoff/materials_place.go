package takeoff

import (
	"fmt"
	"strings"

	"barrow/tin"
	"barrow/volume"
)

// place says where the materials of the cut lie, in metres on the grid.
func (m *materials) place() error {
	for i := range m.job.Materials {
		j := &m.job.Materials[i]
		if j.Topsoil {
			continue
		}
		p := volume.Part{Within: scaleMultiPolygon(j.Within, m.unit), From: j.From * m.unit, To: j.To * m.unit}
		if j.TotalDepth {
			p.By = volume.TotalDepth
		}
		var err error
		key := fmt.Sprintf("material[%d]", i)
		if p.Below, err = m.horizons(j.Below, key+".below"); err != nil {
			return err
		}
		if p.Above, err = m.horizons(j.Above, key+".above"); err != nil {
			return err
		}
		m.parts, m.of = append(m.parts, p), append(m.of, i)
	}
	return nil
}

// horizons makes the surfaces of their spots.
func (m *materials) horizons(list []Horizon, key string) (out []volume.Horizon, err error) {
	for _, h := range list {
		made := volume.Horizon{Level: h.Level * m.unit}
		if h.Survey != nil {
			p := h.Survey.prepare(m.job.units().Length)
			m.notes = append(m.notes, p.notes...)
			if made.Surface, err = tin.Build(m.ctx, p.sources, tin.Options{Unit: m.job.Units}); err != nil {
				return nil, under(key, err)
			}
			m.notes = append(m.notes, made.Surface.Notes()...)
		}
		out = append(out, made)
	}
	return out, nil
}

// thickParts are the parts for what thickenings dig. It lies below the formation, so
// that depths below ground do not say of it what they say of the cut: where a material
// lies by depth, it is all of the first without an end in depth.
func (m *materials) thickParts() (parts []volume.Part, of []int) {
	open, banded := -1, false
	for k, p := range m.parts {
		banded = banded || p.From > 0 || p.To > 0
		if open < 0 && p.To == 0 && len(p.Within)+len(p.Below)+len(p.Above) == 0 {
			open = m.of[k]
		}
	}
	switch {
	case !banded:
		return m.parts, m.of
	case open < 0:
		return nil, nil
	}
	m.note(NoteThickMaterial, "what thickenings dig counts as %s, the first material without an end in depth", m.job.Materials[open].Name)
	return []volume.Part{{}}, []int{open}
}

// keyed turns the key of a part into that of its material.
func (m *materials) keyed(err error) error {
	e := asInputError(err)
	if e == nil {
		return err
	}
	out := *e
	for k, i := range m.of {
		if rest, ok := strings.CutPrefix(e.Key, fmt.Sprintf("part[%d]", k)); ok {
			out.Key = fmt.Sprintf("material[%d]%s", i, rest)
		}
	}
	return &out
}
