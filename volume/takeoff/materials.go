package takeoff

import (
	"fmt"
	"slices"

	"barrow/tin"
	"barrow/volume"
	"barrow/volume/material"
)

// materials says what becomes of what is dug, and adds it to the result.
func (r *run) materials(res *Result) error {
	if len(r.job.Materials) == 0 {
		return nil
	}
	r.tell("sorting materials", 0, 1)
	if _, err := r.sortMaterials(res); err != nil {
		return err
	}
	r.tell("sorting materials", 1, 1)
	return nil
}

// sortMaterials does so for a job that has materials, and returns what it went by.
func (r *run) sortMaterials(res *Result) (material.Site, error) {
	m := materials{run: r, res: res}
	if err := m.reckon(); err != nil {
		return m.site, err
	}
	m.remark()
	res.Materials, res.site = m.out, m.site
	res.Notes = append(res.Notes, r.remarks(m.notes)...)
	res.Warnings = append(res.Warnings, r.remarks(m.warnings)...)
	return m.site, nil
}

// materials is what becomes of the cut of a run, in the making.
type materials struct {
	*run
	res  *Result
	site material.Site
	out  *material.Result

	notes, warnings []tin.Problem
}

func (m *materials) reckon() error {
	m.site = m.job.site()
	t := &m.res.Total
	m.site.Fill = material.Compacted(t.Fill + t.BackfillAsDug)
	if err := m.placeMaterials(); err != nil {
		return err
	}
	m.notes = slices.Clip(m.lie.notes)
	if err := m.sort(); err != nil {
		return err
	}
	m.topsoil()
	out, err := material.Reckon(m.site)
	if err != nil {
		return err
	}
	if m.out = out; m.noHaul {
		return nil
	}
	return m.haul()
}

// sort gives each material what is dug of it: the cut, and what thickenings dig below
// the formation.
func (m *materials) sort() error {
	split, err := volume.SplitWorks(m.ctx, m.allWorks(), volume.Split{Parts: m.lie.parts})
	if err != nil {
		return m.keyed(err)
	}
	settle(&split)
	m.add(split, m.lie.of)
	if m.res.Total.ThickeningVolume == 0 {
		return nil
	}
	parts, of := m.thickParts()
	split, err = volume.SplitWorks(m.ctx, m.thickened(), volume.Split{Parts: parts})
	if err != nil {
		return m.keyed(err)
	}
	settle(&split)
	m.add(split, of)
	for k, p := range split.Parts {
		m.site.Materials[of[k]].Thickenings += material.Bank(p.Cut / m.volumeUnit())
	}
	return nil
}

// thickened are the thickenings of all pads, dug from the formation.
func (m *materials) thickened() volume.Works {
	w := volume.Works{Ground: m.ground}
	for _, pad := range m.thick {
		for _, t := range pad {
			w.Faces = append(append(w.Faces, t.Pieces...), t.Batter...)
		}
	}
	return w
}

// add adds what was split to what is dug of each material, in the job's unit.
func (m *materials) add(split volume.SplitResult, of []int) {
	for k, p := range split.Parts {
		m.site.Materials[of[k]].Dug += material.Bank(p.Cut / m.volumeUnit())
	}
	m.site.Unassigned += material.Bank((split.Rest.Cut + split.Undetermined.Cut) / m.volumeUnit())
	if v := split.Rest.Cut / m.volumeUnit(); v > 0 {
		m.warn(WarnNoMaterial, "%.2f %s of what is dug is of none of the materials given: no surplus and no shortage are reckoned", v, m.res.Units.Volume)
	}
	if v := split.Undetermined.Cut / m.volumeUnit(); v > 0 {
		m.warn(WarnHorizonData, "%.2f %s of what is dug lies where a surface that a material lies under or over has no data: it is of none of the materials", v, m.res.Units.Volume)
	}
}

// dustOfSplit is the share of works that rounding may leave in a part that has none of
// them, or in no part.
const dustOfSplit = 1e-9

// settle takes off what rounding left where there is nothing: it would make a load, or
// ask for a factor.
func settle(s *volume.SplitResult) {
	dust := dustOfSplit * (s.Cut + s.Fill)
	for k := range s.Parts {
		s.Parts[k].Cut = aboveDust(s.Parts[k].Cut, dust)
	}
	s.Rest.Cut, s.Undetermined.Cut = aboveDust(s.Rest.Cut, dust), aboveDust(s.Undetermined.Cut, dust)
}

// aboveDust returns a volume, or 0 where rounding may have left it.
func aboveDust(volume, dust float64) float64 {
	if volume <= dust {
		return 0
	}
	return volume
}

// topsoil gives the topsoil's material what is stripped, and what of it is spread again.
func (m *materials) topsoil() {
	t := &m.res.Total
	for i := range m.site.Materials {
		s := &m.site.Materials[i]
		if !s.Topsoil {
			continue
		}
		s.Dug = material.Bank(t.Topsoil)
		for _, a := range t.Respread {
			s.Spread += material.Compacted(a.Volume)
		}
		if s.Spread > 0 && s.CompactedPerBank == 0 {
			m.note(NoteSpreadAsBank, "%s: compacted_per_bank is not given, so what is spread again counts as in bank measure", s.Name)
		}
		return
	}
	if t.Topsoil > 0 {
		m.note(NoteTopsoilNoMaterial, `no material has lies = "topsoil": the topsoil is in none of the loads, and is no fill`)
	}
}

func (m *materials) note(code, format string, args ...any) {
	m.notes = append(m.notes, tin.Problem{Code: code, Message: fmt.Sprintf(format, args...)})
}

func (m *materials) warn(code, format string, args ...any) {
	m.warnings = append(m.warnings, tin.Problem{Code: code, Message: fmt.Sprintf(format, args...)})
}

// remark says where factors come from that nobody gave, and what was left out.
func (m *materials) remark() {
	for i := range m.job.Materials {
		if f, from := m.job.Materials[i].factors(); from != "" {
			k, _ := material.KindNamed(m.job.Materials[i].Kind)
			m.note(NoteDefaultFactor, "%s: loose per bank %s is the middle of %s to %s for %s (%s); nothing was measured on this site",
				m.job.Materials[i].Name, formatNumber(f.LoosePerBank), formatNumber(k.LooseLow), formatNumber(k.LooseHigh), k.Name, from)
		}
	}
	for _, n := range m.out.Needs {
		m.note(NoteFactorNeeded, "%s: %s is not given, so %s are not reckoned", n.Material, n.Key, n.For)
	}
	for _, t := range m.out.Trucks {
		loads := t.Materials
		if t.Import != nil {
			loads = append(slices.Clip(loads), *t.Import)
		}
		for _, l := range loads {
			if l.Unweighed {
				m.note(NoteUnweighed, "truck %s: the payload is not held against %s, which has no density", t.Name, l.Material)
			}
		}
	}
}
