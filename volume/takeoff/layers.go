package takeoff

import "slices"

// layers fills in how much there is of each layer of a pad. The ruling pad has the
// area where pads overlap.
func (r *run) layers(p *PadResult, i int) {
	job, laid := &r.job.Pads[i], &r.layout.Pads[i]
	for k := range p.Layers {
		rung := &p.Layers[k]
		rung.To = job.layerTo(k)
		area := facetArea(laid.Facets)
		if rung.To == LayersToMargin {
			area = facetArea(laid.Facets, laid.Margin)
		}
		rung.Area = area / r.areaUnit()
		rung.Volume = r.layerVolume(area, rung.Thickness)
	}
}

// layerTo returns how far a layer of the pad goes.
func (p *Pad) layerTo(layer int) LayersTo {
	switch {
	case p.Layers[layer].To != "":
		return p.Layers[layer].To
	case p.LayersTo != "":
		return p.LayersTo
	}
	return LayersToOutline
}

// layerVolume returns the volume of a layer in the job's unit, given its area on the
// grid in square metres and its thickness in the job's unit.
func (r *run) layerVolume(area, thickness float64) float64 {
	return area * (thickness * r.unit) / r.volumeUnit()
}

// addStructure adds what a pad has of layers, thickenings and backfill.
func (t *Total) addStructure(p *PadResult) {
	t.addLayers(p)
	t.ThickeningVolume += p.ThickeningVolume
	if b := p.Backfill; b != nil {
		t.BackfillNetVoid += b.NetVoid
		t.BackfillAsDug += b.AsDug
	}
}

// addLayers adds the layers of a pad and its thickenings to those of their names.
func (t *Total) addLayers(p *PadResult) {
	for _, l := range p.Layers {
		t.addLayer(l.Name, l.Area, l.Volume)
	}
	for _, th := range p.Thickenings {
		for _, l := range th.Layers {
			t.addLayer(l.Name, l.Area, l.Volume)
		}
	}
}

func (t *Total) addLayer(name string, area, volume float64) {
	i := slices.IndexFunc(t.Layers, func(l LayerAmount) bool { return l.Name == name })
	if i < 0 {
		i = len(t.Layers)
		t.Layers = append(t.Layers, LayerAmount{Name: name})
	}
	t.Layers[i].Area += area
	t.Layers[i].Volume += volume
}
