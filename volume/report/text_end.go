package report

import "barrow/volume/takeoff"

// notMeasured lists the work that is in none of the figures.
func (t *paper) notMeasured(list []takeoff.Omission) {
	t.title("NOT IN THESE FIGURES")
	for _, o := range list {
		t.point(o.Message)
	}
}
