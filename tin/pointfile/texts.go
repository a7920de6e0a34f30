package pointfile

import (
	"strings"

	"barrow/tin"
)

// texts keeps names and codes with few allocations: names are cut from large
// strings, and equal codes are one string.
type texts struct {
	chunk  strings.Builder
	room   int
	recent [64]string
	shared map[string]string
}

const (
	chunkSize = 64 << 10
	maxShared = 4096 // different codes; beyond that they are descriptions, each its own
)

// keep returns s as a string.
func (t *texts) keep(s []byte) string {
	if len(s) > t.room {
		// The strings cut so far keep the old chunk alive.
		t.chunk = strings.Builder{}
		t.room = max(chunkSize, len(s))
		t.chunk.Grow(t.room)
	}
	t.room -= len(s)
	from := t.chunk.Len()
	t.chunk.Write(s)
	return t.chunk.String()[from:]
}

// share returns s as a string, the same for equal texts. s is not empty.
func (t *texts) share(s []byte) string {
	slot := &t.recent[(len(s)*7+int(s[0])*31+int(s[len(s)-1]))%len(t.recent)]
	if *slot == string(s) {
		return *slot
	}
	text, ok := t.shared[string(s)]
	if !ok {
		text = t.keep(s)
		if t.shared == nil {
			t.shared = make(map[string]string)
		}
		if len(t.shared) < maxShared {
			t.shared[text] = text
		}
	}
	*slot = text
	return text
}

// nameCheck finds names that are given twice. Names mostly ascend (1, 2, 3,
// ...), by length and then by bytes: one above all before it is new, which
// costs one comparison. The others are kept for the end.
type nameCheck struct {
	top   string
	below []seenName // points whose name is not above all before
}

// seenName is a point with the column of its name.
type seenName struct{ point, column int32 }

// rises reports whether a name is above all before.
func (c *nameCheck) rises(name string) bool {
	if len(name) > len(c.top) || len(name) == len(c.top) && name > c.top {
		c.top = name
		return true
	}
	return false
}

// sameName is a point with the name of an earlier one, the first that has it.
type sameName struct {
	first int32
	seenName
}

// check returns the points at the place and level of their namesake, and the
// first that is not.
func (c *nameCheck) check(points []tin.Point) (equal []sameName, conflict *sameName) {
	if len(c.below) == 0 {
		return nil, nil
	}
	rising := make([]int32, 0, len(points)-len(c.below))
	rest := c.below
	for i := range points {
		switch {
		case len(rest) > 0 && int(rest[0].point) == i:
			rest = rest[1:]
		case points[i].Name != "":
			rising = append(rising, int32(i))
		}
	}
	seen := make(map[string]int32, len(c.below))
	for _, s := range c.below {
		name := points[s.point].Name
		first, ok := find(points, rising, name)
		if !ok {
			if first, ok = seen[name]; !ok {
				seen[name] = s.point
				continue
			}
		}
		pair := sameName{first, s}
		if !samePoint(points[first], points[s.point]) {
			return equal, &pair
		}
		equal = append(equal, pair)
	}
	return equal, nil
}

// find looks for a name among points whose names ascend.
func find(points []tin.Point, rising []int32, name string) (int32, bool) {
	lo, hi := 0, len(rising)
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		if s := points[rising[mid]].Name; len(s) < len(name) || len(s) == len(name) && s < name {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	if lo < len(rising) && points[rising[lo]].Name == name {
		return rising[lo], true
	}
	return 0, false
}

// samePoint reports whether two points have one place and one level.
func samePoint(a, b tin.Point) bool {
	return a.E == b.E && a.N == b.N && (a.Level == b.Level || !a.HasLevel() && !b.HasLevel())
}
