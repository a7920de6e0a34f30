package report

import "barrow/volume/takeoff"

// notMeasured lists the work that is in none of the figures.
func (t *paper) notMeasured(list []takeoff.Omission) {
	t.title("NOT IN THESE FIGURES")
	for _, o := range list {
		t.put("  - ", o.Message)
	}
}

// cautions say what a sheet of quantities cannot know.
func (t *text) cautions() {
	t.title("CAUTIONS")
	for _, words := range []string{
		"These are quantities, not a way of working. Upright faces are a way to measure, and no statement that " +
			"ground will stand: the stability of trenches, faces and batters is for a competent person to judge on " +
			"site, by the local codes.",
		"Find buried services before breaking ground. Plans and levels show none of them.",
		"Water changes what ground can do and what must be moved. None is allowed for.",
		"Local codes and law, and the judgement of licensed engineers and surveyors, come before this sheet.",
		"A volume is no better than its survey: hold sides, levels and marks above against the drawing first.",
	} {
		t.put("  - ", words)
	}
}
