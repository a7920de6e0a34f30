package takeoff

import "barrow/volume/uncertainty"

// UncertaintyResult is how sure cut and fill of all pads as dug are. Half widths are of
// intervals that hold the true value with Coverage, from what is among Parts only.
type UncertaintyResult struct {
	Coverage float64 `json:"coverage"` // 0.95
	Factor   float64 `json:"factor"`   // half width / standard deviation

	Cut         *float64 `json:"cut,omitempty"` // half widths; nil: not stated
	Fill        *float64 `json:"fill,omitempty"`
	CutLessFill *float64 `json:"cut_less_fill,omitempty"`

	NotStated uncertainty.Reason `json:"not_stated,omitempty"` // why the half widths are not

	// Covariance is that of cut and fill from all Parts, in squares of the unit of
	// volume: the standard deviation of money that is linear in both is that of
	// [uncertainty.Covariance.Of].
	Covariance uncertainty.Covariance `json:"covariance"`
	Parts      []UncertaintyPart      `json:"parts"`
	Missing    []MissingDeviation     `json:"missing"` // what is in no part, with its effect

	Surveys       int `json:"surveys"`         // whose levels the works hang on
	SurveysWithSD int `json:"surveys_with_sd"` // of them, those that say how sure a level is

	// By how much cut and fill read too high (below 0: too low) on average, by errors
	// of levels and by the mesh being smoother than the ground; in a part of its own.
	LevelsBias  [2]float64 `json:"levels_bias"`
	BetweenBias [2]float64 `json:"between_bias"`

	FitSpots int          `json:"fit_spots"` // spots left out in turn, to see how the ground goes between spots
	FitOff   float64      `json:"fit_off"`   // root mean square of what they differ from the mesh of their neighbours
	Shots    []ShotResult `json:"shots"`     // where further spots would help most, the best first
}

// UncertaintyPart is what one kind of error adds: standard deviations.
type UncertaintyPart struct {
	Kind        uncertainty.Kind `json:"kind"`
	Name        string           `json:"name,omitempty"` // of the input, for the kind "other"
	Cut         float64          `json:"cut"`
	Fill        float64          `json:"fill"`
	CutLessFill float64          `json:"cut_less_fill"`
}

// MissingDeviation is an input without a standard deviation, so that it is in no
// interval: how much cut and fill change if it is greater by Per.
type MissingDeviation struct {
	Input MissingInput `json:"input"`
	Per   float64      `json:"per"` // a length
	Cut   float64      `json:"cut"`
	Fill  float64      `json:"fill"`
}

// MissingInput is an input whose error is in no interval.
type MissingInput string

// The inputs that cut and fill hang on.
const (
	MissingBenchmark MissingInput = "benchmark" // all levels of the ground
	MissingTopsoil   MissingInput = "topsoil"   // its depth
	MissingBuildUp   MissingInput = "build_up"  // thickness of the layers
)

// ShotResult is a place for a further spot, and the half widths that are to be expected
// with it and those before it.
type ShotResult struct {
	At          Place   `json:"at"`
	Cut         float64 `json:"cut"`
	Fill        float64 `json:"fill"`
	CutLessFill float64 `json:"cut_less_fill"`
}

// gradients of cut, fill and cut less fill.
func gradients() [3][2]float64 { return [3][2]float64{{1, 0}, {0, 1}, {1, -1}} }

// uncertaintyResult turns what is known into the job's unit.
func (r *run) uncertaintyResult() *UncertaintyResult {
	u := r.sure
	if u == nil {
		return nil
	}
	vol := r.volumeUnit()
	out := &UncertaintyResult{
		Coverage: 0.95, Factor: uncertainty.CoverageFactor, NotStated: u.NotStated,
		Parts: []UncertaintyPart{}, Missing: r.missing(), Shots: []ShotResult{},
		Surveys: u.Surveys, SurveysWithSD: u.SpotKnown, FitSpots: u.FitSpots, FitOff: u.FitOff / r.unit,
	}
	for i := range out.Covariance {
		out.LevelsBias[i], out.BetweenBias[i] = u.LevelsBias[i]/vol, u.BetweenBias[i]/vol
		for k := range out.Covariance[i] {
			out.Covariance[i][k] = u.Covariance[i][k] / (vol * vol)
		}
	}
	three := func(c uncertainty.Covariance, factor float64) (v [3]float64) {
		for i, g := range gradients() {
			v[i] = factor * c.Of(g) / vol
		}
		return v
	}
	if u.NotStated == "" {
		v := three(u.Covariance, uncertainty.CoverageFactor)
		out.Cut, out.Fill, out.CutLessFill = &v[0], &v[1], &v[2]
	}
	for _, p := range u.Parts {
		v := three(p.Covariance, 1)
		out.Parts = append(out.Parts, UncertaintyPart{p.Kind, p.Name, v[0], v[1], v[2]})
	}
	for _, s := range u.Shots {
		v := three(s.After, uncertainty.CoverageFactor)
		out.Shots = append(out.Shots, ShotResult{Place{s.At[0] / r.unit, s.At[1] / r.unit}, v[0], v[1], v[2]})
	}
	return out
}

// missing lists what is in no part, for 10 mm or a twentieth of a foot of each.
func (r *run) missing() []MissingDeviation {
	u, list := r.sure, []MissingDeviation{}
	per := 0.01
	if r.unit != 1 {
		per = 0.05
	}
	add := func(input MissingInput, perMetre [2]float64) {
		k := per * r.unit / r.volumeUnit()
		list = append(list, MissingDeviation{input, per, perMetre[0]*k + 0, perMetre[1]*k + 0}) // never -0
	}
	if u.CommonKnown < u.Surveys {
		add(MissingBenchmark, u.PerLevel)
	}
	if hasTopsoil(r.soil) && r.job.Ground.Topsoil.Deviation == 0 {
		add(MissingTopsoil, u.PerTopsoil)
	}
	layers, known := r.layerDeviations()
	if layers > known {
		add(MissingBuildUp, [2]float64{-u.PerFormation[0], -u.PerFormation[1]})
	}
	return list
}
