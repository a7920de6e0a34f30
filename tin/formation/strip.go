package formation

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Strip is the ground that topsoil is taken off.
type Strip struct {
	Outline   orb.MultiPolygon // metres; it may reach beyond the ground, and over places without topsoil
	Area      float64          // in plan, m2, of ground with topsoil
	Volume    float64          // bank, m3
	Depths    []StripDepth     // what there is of each depth, ascending
	Uncovered float64          // m2, where there would be topsoil but there is no ground: counted in nothing else
	Bound     float64          // m2; by how much the facets of the rim's round corners overstate Area at most
}

// StripDepth is the part of a strip where topsoil is of one depth.
type StripDepth struct {
	Depth  float64 // metres
	Area   float64 // in plan, m2
	Volume float64 // bank, m3
}

// Strip returns the strip of the works and of what lies within a distance of them,
// metres on the grid: there topsoil is taken off as deep as [Options].Topsoil of
// [Layout.Dig] says, within the boundary, outside the voids, and where MaxEdge left
// ground. The distance is that in plan, over whatever lies between. If ctx ends its
// error is returned.
func (d *Dig) Strip(ctx context.Context, beyond float64) (*Strip, error) {
	if !(beyond >= 0) || !isFinite(beyond) {
		return nil, inputError(CodeStripBeyond, "beyond", "give it in metres, 0 or more", "a strip that goes %g beyond the works", beyond)
	}
	s := &Strip{Outline: d.Outline}
	if beyond = counted(beyond); beyond > 0 && len(d.Outline) > 0 {
		var err error
		if s.Outline, s.Bound, err = around(ctx, d.Outline, beyond); err != nil {
			return nil, err
		}
	}
	return s, s.measure(ctx, d.ground, d.topsoil)
}

// StripOf returns the strip of stated areas, metres, whatever the works.
func (t Topsoil) StripOf(ctx context.Context, ground *tin.Surface, areas orb.MultiPolygon) (*Strip, error) {
	s := &Strip{Outline: areas}
	return s, s.measure(ctx, ground, t)
}

// measure adds up the strip by depth.
func (s *Strip) measure(ctx context.Context, ground *tin.Surface, t Topsoil) error {
	// Each ring counts by itself: rings of an outline may touch.
	var polygons []orb.Polygon
	for _, p := range s.Outline {
		for _, r := range p {
			polygons = append(polygons, orb.Polygon{r})
		}
	}
	rings := len(polygons)
	for _, a := range t.Areas {
		polygons = append(polygons, a.Area)
	}
	owner := ringOwners(s.Outline)
	areas, err := groundAreas(ctx, ground, polygons, func(in []int) (depth float64) {
		depth = t.Depth
		inside := make(map[int]bool) // polygons of the strip, by how many rings
		for _, k := range in {
			if k < rings {
				inside[owner[k]] = !inside[owner[k]]
			} else {
				depth = t.Areas[k-rings].Depth
			}
		}
		for _, odd := range inside {
			if odd {
				return depth
			}
		}
		return 0
	})
	if err != nil {
		return err
	}
	var area, volume, uncovered tin.Sum
	for _, depth := range slices.Sorted(maps.Keys(areas)) {
		a := areas[depth].Ground
		uncovered.Add(areas[depth].Uncovered)
		if a == 0 {
			continue
		}
		s.Depths = append(s.Depths, StripDepth{depth, a, a * depth})
		area.Add(a)
		volume.Add(a * depth)
	}
	s.Area, s.Volume, s.Uncovered = area.Value(), volume.Value(), uncovered.Value()
	return nil
}

// ringOwners returns the polygon that each of all rings belongs to.
func ringOwners(m orb.MultiPolygon) (out []int) {
	for i, p := range m {
		for range p {
			out = append(out, i)
		}
	}
	return out
}

// Covered is a plan area, m2: what of it is ground, and what is not.
type Covered struct{ Ground, Uncovered float64 }

// groundAreas cuts the ground by polygons and adds up areas by the key that a part
// has, given the polygons that hold it, ascending. What has the zero key is left out.
func groundAreas[K cmp.Ordered](ctx context.Context, ground *tin.Surface, polygons []orb.Polygon, key func(in []int) K) (map[K]Covered, error) {
	cells, err := partition(ground, polygons, nil, fine*rounding(polygons))
	if err != nil {
		return nil, fmt.Errorf("formation: areas cannot be cut by each other: %w", err)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var none K
	var keys []K
	var kept []tin.Cell
	all, covered := make(map[K]*tin.Sum), make(map[K]*tin.Sum)
	for _, c := range cells {
		k := key(c.In)
		if k == none {
			continue
		}
		if all[k] == nil {
			all[k], covered[k] = &tin.Sum{}, &tin.Sum{}
		}
		all[k].Add(c.Area)
		if c.Ground {
			kept, keys = append(kept, c), append(keys, k)
		}
	}
	n := 0
	for i, p := range ground.Pieces(kept) {
		if n++; n%4096 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if p.Ground {
			covered[keys[i]].Add(p.Area())
		}
	}
	out := make(map[K]Covered, len(all))
	for k, sum := range all {
		c := Covered{Ground: covered[k].Value() * ground.Frame().Area()}
		if rest := sum.Value() - c.Ground; rest > 1e-9*sum.Value() { // else it is rounding
			c.Uncovered = rest
		}
		out[k] = c
	}
	return out, ctx.Err()
}

// GroundAreas returns how much of several areas, in metres, is ground; where areas
// overlap the last counts.
func GroundAreas(ctx context.Context, ground *tin.Surface, areas []orb.MultiPolygon) ([]Covered, error) {
	var polygons []orb.Polygon
	var of []int
	for i, a := range areas {
		for _, p := range a {
			polygons, of = append(polygons, p), append(of, i)
		}
	}
	sums, err := groundAreas(ctx, ground, polygons, func(in []int) int { return of[in[len(in)-1]] + 1 })
	if err != nil {
		return nil, err
	}
	out := make([]Covered, len(areas))
	for i := range out {
		out[i] = sums[i+1]
	}
	return out, nil
}
