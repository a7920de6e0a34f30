package takeoff

// notMeasured lists the work that is in none of a job's figures: first what
// the job might have asked for, then what no takeoff of a surface can see.
func (j *Job) notMeasured() []Omission {
	var list []Omission
	margin, batter := false, false
	for _, p := range j.Pads {
		margin, batter = margin || p.Margin > 0, batter || p.Cut.Along > 0 || p.Fill.Along > 0
		for _, e := range p.Edges {
			margin, batter = margin || e.Margin != nil && *e.Margin > 0, batter || e.Cut != nil || e.Fill != nil
		}
	}
	if !margin {
		list = append(list, Omission{"margin", "working space round the outlines: the margin is 0"})
	}
	if !batter {
		list = append(list, Omission{"batter", "battered sides: every face is upright (no batter given)"})
	}
	stripped := 0
	for _, s := range j.Surveys {
		if s.Stripped {
			stripped++
		}
	}
	t := j.Ground.Topsoil
	switch {
	case stripped < len(j.Surveys) && (t.Depth > 0 || len(t.Areas) > 0):
		// it is measured
	case stripped == 0:
		list = append(list, Omission{"topsoil", "stripping of topsoil: none given, so any topsoil is in the cut"})
	case stripped == len(j.Surveys):
		list = append(list, Omission{"topsoil", "stripping of topsoil: the survey was taken after it"})
	default:
		list = append(list, Omission{"topsoil", "stripping of topsoil: some of the surveys were taken after it, for the others none is given"})
	}
	if !j.severalMaterials() {
		list = append(list, Omission{"rock", "rock: no rock level given, so all cut counts as one material"})
	}
	return append(list,
		Omission{"water_level", "ground water: no water level given"},
		Omission{"service_trenches", "service trenches and connections"},
		Omission{"soft_spots", "soft spots dug out and made up"},
		Omission{"ramps", "ramps and access for machines"},
		Omission{"benching", "benching of fill into sloping ground"},
		Omission{"clearing", "removal of trees, paving and structures"},
		Omission{"dewatering", "dewatering: keeping the dig dry"},
	)
}
