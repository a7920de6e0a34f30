package takeoff

import "barrow/volume/takeoff/internal/tomltree"

// haul reads the factors and distances of a mass haul.
func (l *loader) haul(n *tomltree.Node) *Haul {
	const example = "haul = { compacted_per_bank = 0.9, free_haul = 100.0 }"
	if n == nil || !l.want(n, tomltree.Table, example) {
		return nil
	}
	h := &Haul{
		CompactedPerBank: l.positive(l.need(n, "compacted_per_bank", example), "compacted_per_bank = 0.9"),
		LoosePerBank:     l.positive(n.Get("loose_per_bank"), "loose_per_bank = 1.25"),
		FreeHaul:         l.distance(n.Get("free_haul"), "free_haul = 100.0", nil),
	}
	if longest := n.Get("longest_haul"); longest != nil {
		h.LongestHaul = l.above0(longest, "longest_haul = 500.0")
	}
	return h
}
