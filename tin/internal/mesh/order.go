package mesh

import (
	"math"
	"math/bits"
	"sort"
)

// sort puts the points in the order of their keys, which interleave the bits of
// x and y (Morton 1966, from memory), x first. Then each run of vertices with a
// common prefix lies in one box, and the next bit cuts the box across.
//
// A key and the number of its point share one word: 44 bits of key for a
// million points. Points with equal keys stay as they are given; cut puts them
// in an order of their own.
func (b *builder) sort(points []XY) {
	n := len(points)
	number := bits.Len(uint(n - 1))
	axis := min(26, (64-number)/2)
	b.keyBits = 2 * axis
	lo, hi := points[0], points[0]
	for _, p := range points {
		lo.X, hi.X = min(lo.X, p.X), max(hi.X, p.X)
		lo.Y, hi.Y = min(lo.Y, p.Y), max(hi.Y, p.Y)
	}
	// One scale for both, a power of two: whole numbers stay whole.
	_, exponent := math.Frexp(max(hi.X-lo.X, hi.Y-lo.Y))
	scale := math.Ldexp(1, axis-exponent)
	from, to := make([]uint64, n), make([]uint64, n)
	for i, p := range points {
		key := spread(uint64((p.X-lo.X)*scale))<<1 | spread(uint64((p.Y-lo.Y)*scale))
		from[i] = key<<number | uint64(i)
	}
	for shift := number; shift < number+b.keyBits; shift += digitBits {
		var count [1 << digitBits]int32
		for _, k := range from {
			count[k>>shift&digitMask]++
		}
		total := int32(0)
		for d, c := range count {
			count[d] = total
			total += c
		}
		for _, k := range from {
			d := k >> shift & digitMask
			to[count[d]] = k
			count[d]++
		}
		from, to = to, from
	}
	b.at, b.order = make([]XY, n), make([]int32, n)
	for k, key := range from {
		i := key & (1<<number - 1)
		// Adding 0 turns -0 into +0, so that equal places have equal bits.
		b.at[k], b.order[k] = XY{points[i].X + 0, points[i].Y + 0}, int32(i)
		from[k] = key >> number
	}
	b.keys = from
}

const (
	digitBits = 11
	digitMask = 1<<digitBits - 1
)

// spread puts a zero before each of the low 32 bits.
func spread(v uint64) uint64 {
	v = (v | v<<16) & 0x0000ffff0000ffff
	v = (v | v<<8) & 0x00ff00ff00ff00ff
	v = (v | v<<4) & 0x0f0f0f0f0f0f0f0f
	v = (v | v<<2) & 0x3333333333333333
	v = (v | v<<1) & 0x5555555555555555
	return v
}

// below is the order of a cut: by (x, y) on axis 0, by (y, x) on axis 1.
func (p XY) below(q XY, axis int) bool {
	if axis == 0 {
		return p.Before(q)
	}
	return p.Y < q.Y || (p.Y == q.Y && p.X < q.X)
}

// sortAlong sorts vertices lo to hi along an axis. Their keys no longer count.
func (b *builder) sortAlong(lo, hi, axis int) {
	if hi-lo > 12 {
		sort.Sort(&along{b.at[lo:hi], b.order[lo:hi], axis})
		return
	}
	for i := lo + 1; i < hi; i++ {
		p, n := b.at[i], b.order[i]
		j := i
		for ; j > lo && p.below(b.at[j-1], axis); j-- {
			b.at[j], b.order[j] = b.at[j-1], b.order[j-1]
		}
		b.at[j], b.order[j] = p, n
	}
}

// along sorts vertices along an axis.
type along struct {
	at    []XY
	order []int32
	axis  int
}

func (s *along) Len() int           { return len(s.at) }
func (s *along) Less(i, j int) bool { return s.at[i].below(s.at[j], s.axis) }
func (s *along) Swap(i, j int) {
	s.at[i], s.at[j] = s.at[j], s.at[i]
	s.order[i], s.order[j] = s.order[j], s.order[i]
}

// move puts vertex i in place j, and those between one place on.
func (b *builder) move(i, j int) {
	p, n, k := b.at[i], b.order[i], b.keys[i]
	if i < j {
		copy(b.at[i:j], b.at[i+1:j+1])
		copy(b.order[i:j], b.order[i+1:j+1])
		copy(b.keys[i:j], b.keys[i+1:j+1])
	} else {
		copy(b.at[j+1:i+1], b.at[j:i])
		copy(b.order[j+1:i+1], b.order[j:i])
		copy(b.keys[j+1:i+1], b.keys[j:i])
	}
	b.at[j], b.order[j], b.keys[j] = p, n, k
}
