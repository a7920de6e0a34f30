package report

import (
	"fmt"
	"strings"

	"barrow/volume/takeoff"
)

// thickeningLevels writes the levels to dig the thickenings of a pad to.
func (t *text) thickeningLevels(p *takeoff.PadResult) {
	for i := range p.Thickenings {
		th := &p.Thickenings[i]
		t.put("    ", th.Name+" "+t.thickeningLevel(p, th))
	}
}

// thickeningLevel words how deep a thickening is dug.
func (t *text) thickeningLevel(p *takeoff.PadResult, th *takeoff.ThickeningResult) string {
	switch {
	case th.Below == nil && th.Level != nil:
		return t.against(*th.Level, th.AboveMarks)
	case th.Below == nil:
		return ""
	case th.Level == nil:
		return t.n.small(*th.Below) + " below formation"
	case p.Fall != nil:
		return fmt.Sprintf("%s below formation, which is %s at %s", t.n.small(*th.Below), t.withUnit(*th.Level), place(&p.Fall.At))
	}
	return t.against(*th.Level, th.AboveMarks) + ", " + t.n.small(*th.Below) + " below formation"
}

// thickenings writes what is dug below formation.
func (t *text) thickenings() {
	any := false
	for i := range t.r.Pads {
		any = any || len(t.r.Pads[i].Thickenings) > 0
	}
	if !any {
		return
	}
	t.title("THICKENINGS AND TRENCHES")
	t.heads(2, "", volumeColumns(), "area "+t.n.units.Area, "volume "+t.n.units.Volume)
	for i := range t.r.Pads {
		p := &t.r.Pads[i]
		if len(p.Thickenings) == 0 {
			continue
		}
		t.put("  ", p.Name)
		for k := range p.Thickenings {
			th := &p.Thickenings[k]
			t.amount(th.Name, th.Area+th.BatterArea, th.Volume)
			t.put("      ", t.thickeningWords(th))
		}
		t.total(4, "together", volumeColumns(), "", fixed(p.ThickeningVolume, t.n.decimals))
	}
	if len(t.r.Pads) > 1 {
		t.total(2, "ALL PADS", volumeColumns(), "", fixed(t.r.Total.ThickeningVolume, t.n.decimals))
	}
	t.put("  ", "Below formation, and additional: no cut above holds any of it. Bank measure, dug from formation down through "+
		"whatever stands there. Where thickenings cross, the lowest has the volume, and nothing is counted twice.")
}

// thickeningWords says what a thickening was drawn like, and what fills it.
func (t *text) thickeningWords(th *takeoff.ThickeningResult) string {
	var words []string
	unit := " " + t.n.units.Length
	if th.Length > 0 {
		words = append(words, t.n.length(th.Length)+unit+" long, "+t.n.small(th.Width)+" wide")
	}
	if th.Depth > 0 {
		words = append(words, t.n.small(th.Depth)+" deep from "+fromWords(th))
	}
	if th.Along > 0 {
		words = append(words, fmt.Sprintf("sides %s: %s in them", takeoff.SlopeWords(th.Along), t.n.volume(th.BatterVolume)))
	}
	if len(th.Layers) > 0 {
		words = append(words, t.n.volume(th.Body)+" above its own layers")
	}
	if outside := th.Outside + th.BatterOutside; outside > 0 {
		words = append(words, t.n.area(outside)+" outside the formation, NOT MEASURED")
	}
	return strings.Join(words, ", ")
}

func fromWords(th *takeoff.ThickeningResult) string {
	switch th.From {
	case "finished":
		return "the finished level"
	case "slab underside":
		return "the slab's underside"
	}
	return string(th.From)
}
