package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/volume/material"
)

// Material is a kind of ground, what becomes of it, and where in the cut it lies. What
// several hold belongs to the first of them.
type Material struct {
	Name    string
	Kind    string           // of [material.Kinds]: its published factor counts where Factors has none; empty: no kind
	Factors material.Factors // 0: not known
	Density float64          // tonnes in one cubic metre in place; 0: not known
	Reuse   float64          // the share of it that may become fill, 0 to 1

	Topsoil bool // what is stripped, instead of cut: nothing below is looked at

	Within     orb.MultiPolygon // in plan; empty: everywhere
	From, To   float64          // depths below stripped ground; To 0: no end
	TotalDepth bool             // they say how deep the cut is there as a whole; else the slice between them
	Below      []Horizon        // under all of them
	Above      []Horizon        // over all of them
}

// Horizon is a surface in the ground, such as rock level or water level.
type Horizon struct {
	Survey *Survey // its spots and lines; nil: level
	Level  float64 // without Survey
}

// severalMaterials reports whether the cut is split into more than one.
func (j *Job) severalMaterials() bool {
	n := 0
	for i := range j.Materials {
		if !j.Materials[i].Topsoil {
			n++
		}
	}
	return n > 1
}

// placed reports whether a material says where in the cut it lies.
func (m *Material) placed() bool {
	return len(m.Within) > 0 || m.banded() || len(m.Below)+len(m.Above) > 0
}

// banded reports whether it lies between depths.
func (m *Material) banded() bool { return m.From > 0 || m.To > 0 }

// factors returns those given and, for want of one, that of the kind, with where that
// comes from.
func (m *Material) factors() (f material.Factors, from string) {
	f = m.Factors
	if k, ok := material.KindNamed(m.Kind); ok && f.LoosePerBank == 0 {
		f.LoosePerBank, from = k.LoosePerBank, k.PublishedIn
	}
	return f, from
}

// site is what the job says of materials and machines, without any volume. Densities
// are tonnes in the job's unit of volume.
func (j *Job) site() material.Site {
	s := material.Site{Trucks: j.Trucks, Machines: j.Machines}
	perVolume := j.Units.Metres() * j.Units.Metres() * j.Units.Metres()
	if j.units().Volume == "yd3" {
		perVolume *= 27
	}
	for i := range j.Materials {
		m := &j.Materials[i]
		f, from := m.factors()
		s.Materials = append(s.Materials, material.Material{Name: m.Name, Factors: f, FactorsFrom: from,
			Density: m.Density * perVolume, Topsoil: m.Topsoil, Reuse: m.Reuse})
	}
	if j.Import != nil {
		bought := *j.Import
		bought.Density *= perVolume
		s.Import = &bought
	}
	return s
}
