package report

import "barrow/volume/takeoff"

// layers writes how much there is of each layer, per pad and by name.
func (t *text) layers() {
	if !t.anyLayer() {
		return
	}
	t.title("LAYERS")
	t.heads(2, "", volumeColumns(), "area "+t.n.units.Area, "volume "+t.n.units.Volume)
	for i := range t.r.Pads {
		p := &t.r.Pads[i]
		if len(p.Layers) == 0 && !ownLayers(p) {
			continue
		}
		t.put("  ", p.Name)
		for _, l := range p.Layers {
			over := ""
			if l.To == takeoff.LayersToMargin {
				over = ", over the margin too"
			}
			t.amount(l.Name+", "+t.n.small(l.Thickness)+over, l.Area, l.Volume)
		}
		for _, th := range p.Thickenings {
			for _, l := range th.Layers {
				t.amount(th.Name+": "+l.Name+", "+t.n.small(l.Thickness), l.Area, l.Volume)
			}
		}
	}
	t.put("  ", "ALL LAYERS BY NAME")
	for _, l := range t.r.Total.Layers {
		t.amount(l.Name, l.Area, l.Volume)
	}
	t.put("  ", "In place, as built: area in plan, where the pad rules, times thickness. Over the outline, unless it says "+
		"otherwise. The layers of a pad run over its thickenings; those of a thickening lie under it. No waste, no factors.")
}

func (t *text) amount(name string, area, volume float64) {
	t.row(4, name, volumeColumns(), fixed(area, t.n.areas), fixed(volume, t.n.decimals))
}

func (t *text) anyLayer() bool {
	for _, l := range t.r.Total.Layers {
		if l.Area > 0 {
			return true
		}
	}
	return false
}

func ownLayers(p *takeoff.PadResult) bool {
	for _, th := range p.Thickenings {
		if len(th.Layers) > 0 {
			return true
		}
	}
	return false
}
