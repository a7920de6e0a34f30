package mesh

import (
	"math"
	"slices"
)

// site is a vertex on its way into the mesh: its place, and its index in the
// input.
type site struct {
	xy
	id int32
}

// keyBits is the number of bits of a key for each of x and y. Whole coordinates
// have all their bits in it.
const keyBits = 26

// sortByKeys reorders the sites by their keys, which interleave the bits of x
// and y (Morton 1966, from memory), and returns the keys. Then each run of sites
// with a common prefix lies in one box, and the next bit cuts the box across.
func sortByKeys(sites []site) []uint64 {
	x0, y0 := sites[0].x, sites[0].y
	x1, y1 := x0, y0
	for i := range sites {
		p := &sites[i]
		x0, x1 = min(x0, p.x), max(x1, p.x)
		y0, y1 = min(y0, p.y), max(y1, p.y)
	}
	// One scale for both, a power of two: whole numbers below 2^26 keep all
	// their bits.
	_, exponent := math.Frexp(max(x1-x0, y1-y0))
	scale := math.Ldexp(1, keyBits-exponent)
	type entry struct {
		key uint64
		i   int32
	}
	from, to := make([]entry, len(sites)), make([]entry, len(sites))
	var counts [digits][1 << digitBits]int32
	for i := range sites {
		key := spread(uint64((sites[i].x-x0)*scale))<<1 | spread(uint64((sites[i].y-y0)*scale))
		from[i] = entry{key, int32(i)}
		for d := range digits {
			counts[d][key>>(d*digitBits)&digitMask]++
		}
	}
	for d := range digits {
		count := &counts[d]
		total := int32(0)
		for k, n := range count {
			count[k] = total
			total += n
		}
		for _, e := range from {
			k := e.key >> (d * digitBits) & digitMask
			to[count[k]] = e
			count[k]++
		}
		from, to = to, from
	}
	sorted := make([]site, len(sites))
	keys := make([]uint64, len(sites))
	for k, e := range from {
		sorted[k], keys[k] = sites[e.i], e.key
	}
	copy(sites, sorted)
	return keys
}

const (
	digitBits = 13
	digitMask = 1<<digitBits - 1
	digits    = 2 * keyBits / digitBits
)

// spread puts a zero before each of the low 26 bits.
func spread(v uint64) uint64 {
	v = (v | v<<16) & 0x0000ffff0000ffff
	v = (v | v<<8) & 0x00ff00ff00ff00ff
	v = (v | v<<4) & 0x0f0f0f0f0f0f0f0f
	v = (v | v<<2) & 0x3333333333333333
	v = (v | v<<1) & 0x5555555555555555
	return v
}

// below is the order of a cut: by (x, y) on axis 0, by (y, x) on axis 1.
func (p *site) below(q *site, axis int) bool {
	if axis == 0 {
		return p.before(q.xy)
	}
	return p.y < q.y || (p.y == q.y && p.x < q.x)
}

// sortAlong sorts a few sites along an axis: those that share a key, or fit a
// leaf.
func sortAlong(s []site, axis int) {
	if len(s) > 12 {
		slices.SortFunc(s, func(p, q site) int {
			if p.below(&q, axis) {
				return -1
			}
			return 1
		})
		return
	}
	for i := 1; i < len(s); i++ {
		p := s[i]
		j := i
		for ; j > 0 && p.below(&s[j-1], axis); j-- {
			s[j] = s[j-1]
		}
		s[j] = p
	}
}
