package takeoff

import (
	"fmt"
	"strings"

	"barrow/tin"
	"barrow/volume"
)

// lie is where the materials of a job lie, in metres on the grid.
type lie struct {
	parts []volume.Part
	of    []int // which material each part is
	notes []tin.Problem
}

// placeMaterials finds where the materials of the cut lie. That does not change with the levels of
// pads: once it is known, it stays.
func (r *run) placeMaterials() error {
	if r.lie != nil {
		return nil
	}
	l := &lie{}
	for i := range r.job.Materials {
		j := &r.job.Materials[i]
		if j.Topsoil {
			continue
		}
		p := volume.Part{Within: scaleMultiPolygon(j.Within, r.unit), From: j.From * r.unit, To: j.To * r.unit}
		if j.TotalDepth {
			p.By = volume.TotalDepth
		}
		var err error
		key := fmt.Sprintf("material[%d]", i)
		if p.Below, err = r.horizons(l, j.Below, key+".below"); err != nil {
			return err
		}
		if p.Above, err = r.horizons(l, j.Above, key+".above"); err != nil {
			return err
		}
		l.parts, l.of = append(l.parts, p), append(l.of, i)
	}
	r.lie = l
	return nil
}

// horizons makes the surfaces of their spots.
func (r *run) horizons(l *lie, list []Horizon, key string) (out []volume.Horizon, err error) {
	for _, h := range list {
		made := volume.Horizon{Level: h.Level * r.unit}
		if h.Survey != nil {
			p := h.Survey.prepare(r.job.units().Length)
			l.notes = append(l.notes, p.notes...)
			if made.Surface, err = tin.Build(r.ctx, p.sources, tin.Options{Unit: r.job.Units, Written: h.Survey.Written}); err != nil {
				return nil, under(key, err)
			}
			l.notes = append(l.notes, made.Surface.Notes()...)
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
	for k, p := range m.lie.parts {
		banded = banded || p.From > 0 || p.To > 0
		if open < 0 && p.To == 0 && len(p.Within)+len(p.Below)+len(p.Above) == 0 {
			open = m.lie.of[k]
		}
	}
	switch {
	case !banded:
		return m.lie.parts, m.lie.of
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
	for k, i := range m.lie.of {
		if rest, ok := strings.CutPrefix(e.Key, fmt.Sprintf("part[%d]", k)); ok {
			out.Key = fmt.Sprintf("material[%d]%s", i, rest)
		}
	}
	return &out
}
