package report

import "barrow/volume/takeoff"

// backfill writes what is filled up again outside the structures.
func (t *text) backfill() {
	pads := 0
	for i := range t.r.Pads {
		p := &t.r.Pads[i]
		if p.Backfill == nil {
			continue
		}
		if pads++; pads == 1 {
			t.title("BACKFILL")
			t.heads(2, "", volumeColumns(), "net void "+t.n.units.Volume, "as dug "+t.n.units.Volume)
		}
		b := p.Backfill
		t.put("  ", p.Name)
		t.row(4, "up to "+t.backfillTop(b), volumeColumns(), t.openVolume(p, b.NetVoid), t.openVolume(p, b.AsDug))
	}
	if pads == 0 {
		return
	}
	if pads > 1 {
		t.total(2, "ALL PADS", volumeColumns(), fixed(t.r.Total.BackfillNetVoid, t.n.decimals), fixed(t.r.Total.BackfillAsDug, t.n.decimals))
	}
	t.put("  ", "The void outside the structure that is filled up again, never above the stripped ground but where it says "+
		"the ground: space to be filled, compacted measure, no factors. Net void: inside the outline. As dug: with margin and cut batters too.")
}

func (t *text) backfillTop(b *takeoff.BackfillResult) string {
	switch {
	case b.Level != nil:
		return t.withUnit(*b.Level)
	case b.To == takeoff.BackfillFinished:
		return "the finished surface"
	}
	return "the " + string(b.To)
}

// openVolume writes a volume that ground which was not surveyed may add to.
func (t *text) openVolume(p *takeoff.PadResult, v float64) string {
	if p.UncoveredArea > 0 || p.OpenLength > 0 {
		return "at least " + fixed(v, t.n.decimals)
	}
	return fixed(v, t.n.decimals)
}
