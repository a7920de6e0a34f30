package takeoff

// BatterResult is a batter as the job gives it.
type BatterResult struct {
	Along float64 `json:"along"`           // n in 1V:nH
	Every float64 `json:"every,omitempty"` // rise between berms
	Berm  float64 `json:"berm,omitempty"`  // width of a berm, on the ground

	Degrees float64 `json:"degrees"` // of the slope from level
}

// EdgeResult is what a job gives to the sides from one corner to another.
type EdgeResult struct {
	From       string        `json:"from"`
	To         string        `json:"to"`
	Upright    bool          `json:"upright,omitempty"`
	Margin     *float64      `json:"margin,omitempty"`      // nil: the pad's
	CutBatter  *BatterResult `json:"cut_batter,omitempty"`  // nil: the pad's, or Upright
	FillBatter *BatterResult `json:"fill_batter,omitempty"` // nil: the pad's, or Upright
}

// StripRule is the topsoil that the job has taken off the ground before it is
// measured.
type StripRule struct {
	Depth  float64     `json:"depth"`            // outside Areas; within a stated area only where Within
	Beyond float64     `json:"beyond,omitempty"` // how far the strip goes beyond the works
	Within bool        `json:"within,omitempty"` // a stated area is stripped, not the works
	Areas  []StripArea `json:"areas,omitempty"`  // where they overlap the last counts
}

// StripArea is a part of the plan with its own depth of topsoil.
type StripArea struct {
	Name  string  `json:"name"`
	Depth float64 `json:"depth"`
}

// stripRule tells what is taken off; nil where nothing is.
func (j *Job) stripRule() *StripRule {
	t := j.Ground.Topsoil
	if j.stripped() || t.Depth == 0 && len(t.Areas) == 0 {
		return nil
	}
	rule := &StripRule{Depth: t.Depth, Beyond: t.Beyond, Within: len(t.Within) > 0}
	for _, a := range t.Areas {
		rule.Areas = append(rule.Areas, StripArea{a.Name, a.Depth})
	}
	return rule
}

// result is nil for an upright face.
func (b Batter) result() *BatterResult {
	if b.Along == 0 {
		return nil
	}
	return &BatterResult{b.Along, b.Every, b.Berm, SlopeDegrees(b.Along)}
}

func (e *Edge) result() EdgeResult {
	out := EdgeResult{From: e.From, To: e.To, Upright: e.Upright, Margin: e.Margin}
	if e.Cut != nil {
		out.CutBatter = e.Cut.result()
	}
	if e.Fill != nil {
		out.FillBatter = e.Fill.result()
	}
	return out
}

// works fills in what is asked of the sides of a pad, and how deep and how high
// its works go.
func (r *run) works(p *PadResult, i int) {
	job, all := &r.job.Pads[i], r.measured[i].all()
	p.Margin, p.CutBatter, p.FillBatter = job.Margin, job.Cut.result(), job.Fill.result()
	for k := range job.Edges {
		p.Edges = append(p.Edges, job.Edges[k].result())
	}
	p.WorksCutDepth, p.WorksCutAt = r.depth(all.MaxCut)
	p.WorksFillDepth, p.WorksFillAt = r.depth(all.MaxFill)
	p.BatterTop, p.BatterFoot = r.reach(i)
}

// reach finds the highest place of a pad's cut batters and the lowest of its fill
// batters; nil where it has none. Of places at one level it is the first by easting
// and northing.
func (r *run) reach(i int) (top, foot *LevelAt) {
	frame := r.ground.Frame()
	for _, f := range r.dig.Pads[i].Faces {
		depth := 0.0 // of all corners: a face is all cut or all fill
		for _, c := range f.Corner {
			depth += c.Ground - c.Face
		}
		for _, c := range f.Corner {
			at := frame.Metres(c.X, c.Y)
			l := &LevelAt{c.Face / r.unit, Place{at[0] / r.unit, at[1] / r.unit}}
			switch {
			case depth > 0 && (top == nil || l.Level > top.Level || l.Level == top.Level && l.At.before(top.At)):
				top = l
			case depth < 0 && (foot == nil || l.Level < foot.Level || l.Level == foot.Level && l.At.before(foot.At)):
				foot = l
			}
		}
	}
	return top, foot
}

// before orders places by easting, then northing.
func (p Place) before(q Place) bool { return p[0] < q[0] || p[0] == q[0] && p[1] < q[1] }
