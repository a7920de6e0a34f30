package takeoff

import (
	"fmt"
	"strings"

	"barrow/volume/material"
)

// checkMaterials refuses materials, trucks and machines that cannot be.
func (j *Job) checkMaterials() error {
	if _, err := material.Reckon(j.site()); err != nil {
		return err
	}
	for i := range j.Materials {
		if err := j.checkMaterial(i); err != nil {
			return err
		}
	}
	return nil
}

func (j *Job) checkMaterial(i int) error {
	m, key := &j.Materials[i], fmt.Sprintf("material[%d]", i)
	if _, known := material.KindNamed(m.Kind); m.Kind != "" && !known {
		return badJob(codeBadValue, key+".kind", fmt.Sprintf("no published factor for the kind %q", m.Kind), "there is one for "+kinds()+"; or leave kind out and give the factor")
	}
	switch {
	case m.Topsoil && m.placed():
		return badJob(codeBadValue, key, "topsoil lies where it is stripped", "leave depths, within, below and above out")
	case !(m.From >= 0) || !finite(m.From):
		return badJob(codeBadValue, key+".from", fmt.Sprintf("a depth of %g", m.From), "give it below ground, 0 or more")
	case m.To != 0 && !(m.To > m.From) || !finite(m.To):
		return badJob(codeBadValue, key+".to", fmt.Sprintf("from a depth of %g to %g", m.From, m.To), "the second is the deeper one")
	}
	for _, p := range m.Within {
		if err := j.checkOutline(p); err != nil {
			return withKey(err, key+".within")
		}
	}
	for k := range i {
		if j.Materials[k].covers(m) {
			return badJob(codeMaterialsOverlap, key, fmt.Sprintf("%s lies where %s is already", m.Name, j.Materials[k].Name),
				"what several hold belongs to the first: put what is everywhere last, and let depths not overlap")
		}
	}
	return nil
}

// covers reports whether a later material surely overlaps this one: in a way that no
// order of the two can have meant.
func (m *Material) covers(later *Material) bool {
	if m.Topsoil || later.Topsoil {
		return m.Topsoil && later.Topsoil
	}
	switch {
	case len(m.Below)+len(m.Above) > 0 || len(m.Within) > 0:
		return false // it is an exception to what comes after
	case !m.banded():
		return true // it is everywhere, and leaves nothing
	}
	return later.banded() && len(later.Below)+len(later.Above)+len(later.Within) == 0 && m.TotalDepth == later.TotalDepth &&
		m.From < depthEnd(later) && later.From < depthEnd(m)
}

func depthEnd(m *Material) float64 {
	if m.To == 0 {
		return noEnd
	}
	return m.To
}

// noEnd is deeper than any dig.
const noEnd = 1e300

// kinds lists the kinds with published factors.
func kinds() string {
	var names []string
	for _, k := range material.Kinds() {
		names = append(names, fmt.Sprintf("%q", k.Name))
	}
	return strings.Join(names, ", ")
}
