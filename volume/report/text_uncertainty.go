package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"barrow/volume/takeoff"
	"barrow/volume/uncertainty"
)

// howSure says how sure the volumes as dug are, of what, and of what not.
func (t *text) howSure() {
	u := t.r.Uncertainty
	if u == nil {
		return
	}
	t.put("  ", "HOW SURE, as dug")
	if u.NotStated != "" {
		t.put("    ", "cut and fill: not stated: "+t.notStated(u))
	} else {
		label := fmt.Sprintf("(%s %%, %s)", fixed(100*u.Coverage, 0), sureOf(u.Parts))
		line := func(what string, volume, half float64) {
			t.put("    ", fmt.Sprintf("%s %s +/- %s %s", what, t.n.volume(volume), fixed(half, t.n.decimals), label))
		}
		line("cut", t.r.Total.Cut, *u.Cut)
		line("fill", t.r.Total.Fill, *u.Fill)
		line("cut less fill", t.r.Total.CutLessFill, *u.CutLessFill)
	}
	for _, p := range u.Parts {
		t.put("      ", fmt.Sprintf("%s: standard deviation of cut %s, of fill %s",
			partWords(p), fixed(p.Cut, t.n.decimals), fixed(p.Fill, t.n.decimals)))
	}
	t.biased(u)
	t.missing(u)
	t.shots(u)
}

// notStated says why there are no intervals.
func (t *text) notStated(u *takeoff.UncertaintyResult) string {
	if u.NotStated == uncertainty.OffGround {
		return "part of the works has no ground, so that the volumes are \"at least\""
	}
	return fmt.Sprintf("%s inside the ground and on no breakline, too few to see how it goes between spots", countOf(u.FitSpots, "spot lies", "spots lie"))
}

func known(parts []takeoff.UncertaintyPart, k uncertainty.Kind) bool {
	return slices.ContainsFunc(parts, func(p takeoff.UncertaintyPart) bool { return p.Kind == k })
}

// sureOf names what is in the intervals.
func sureOf(parts []takeoff.UncertaintyPart) string {
	names := []string{"survey"}
	if !known(parts, uncertainty.Levels) {
		names[0] = "ground between spots"
	}
	if known(parts, uncertainty.Benchmark) {
		names = append(names, "benchmark")
	}
	for _, p := range parts {
		if p.Kind == uncertainty.OtherInput {
			names = append(names, p.Name)
		}
	}
	if len(names) == 1 {
		return names[0] + " only"
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func partWords(p takeoff.UncertaintyPart) string {
	switch p.Kind {
	case uncertainty.Levels:
		return "levels of the spots"
	case uncertainty.BetweenSpots:
		return "ground between spots"
	case uncertainty.Benchmark:
		return "benchmark"
	case uncertainty.Bias:
		return "allowance for bias near the zero line"
	}
	return p.Name
}

// biasMatters is the share of the standard deviation from which a bias is told.
const biasMatters = 0.2

// biased tells of a bias near the zero and daylight lines where it matters.
func (t *text) biased(u *takeoff.UncertaintyResult) {
	cut, fill := u.LevelsBias[0]+u.BetweenBias[0], u.LevelsBias[1]+u.BetweenBias[1]
	matters := func(bias float64, half *float64) bool {
		return half != nil && math.Abs(bias) > biasMatters**half/u.Factor
	}
	if !matters(cut, u.Cut) && !matters(fill, u.Fill) {
		return
	}
	words := func(bias float64) string {
		if bias > 0 {
			return t.n.volume(bias) + " too much"
		}
		return t.n.volume(-bias) + " too little"
	}
	t.put("      ", fmt.Sprintf("near the zero line cut is likely to read %s and fill %s; the intervals allow for it", words(cut), words(fill)))
}

// missing lists what is not in the intervals.
func (t *text) missing(u *takeoff.UncertaintyResult) {
	t.put("    ", "Not in it:")
	switch {
	case u.SurveysWithSD == 0:
		t.put("      ", "errors of the spots' levels (no sd given)")
	case u.SurveysWithSD < u.Surveys:
		t.put("      ", fmt.Sprintf("errors of the spots' levels of some surveys (sd given for %d of %d)", u.SurveysWithSD, u.Surveys))
	}
	names := map[takeoff.MissingInput]string{
		takeoff.MissingBenchmark: "benchmark: %s more on all levels", takeoff.MissingTopsoil: "topsoil depth: %s more",
		takeoff.MissingBuildUp: "thickness of the build-up: %s more",
	}
	for _, m := range u.Missing {
		t.put("      ", fmt.Sprintf(names[m.Input]+" = cut %s, fill %s %s", t.n.small(m.Per), t.signed(m.Cut), t.signed(m.Fill), t.n.units.Volume))
	}
	if t.r.StripRule == nil {
		t.put("      ", "topsoil: none is stripped; any of it is in the cut")
	}
	t.put("      ", "factors: an error of 1 % of one = 1 % of the volume it is applied to")
	t.put("      ", "rock level: it parts the cut into kinds, and changes neither cut nor fill")
	t.put("      ", "features that no spot touches: a heap, a hole, a bank without a breakline")
}

// signed writes a change of volume with its sign.
func (t *paper) signed(v float64) string {
	s := fixed(v, t.n.decimals)
	if strings.HasPrefix(s, "-") {
		return s
	}
	return "+" + s
}

// shots lists where further spots would help.
func (t *text) shots(u *takeoff.UncertaintyResult) {
	if len(u.Shots) == 0 {
		return
	}
	t.put("    ", "Further spots would help most at, with what the intervals would come to:")
	for i, s := range u.Shots {
		at := s.At
		t.put("      ", fmt.Sprintf("%d. %s: cut +/- %s, fill +/- %s", i+1, place(&at), fixed(s.Cut, t.n.decimals), fixed(s.Fill, t.n.decimals)))
	}
}
