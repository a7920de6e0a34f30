package volume

import (
	"context"
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// newSplitter checks what is asked for and gets ready.
func newSplitter(ctx context.Context, works Works, split Split) (*splitter, error) {
	if err := works.check(); err != nil {
		return nil, err
	}
	s := &splitter{
		ctx: ctx, frame: works.Ground.Frame(), depths: split.Depths,
		cut: make([]partSums, len(split.Parts)+2), held: make([]bool, len(split.Parts)),
	}
	known := make(map[*tin.Surface][]*tin.Sheet)
	for i := range split.Parts {
		r, err := s.ruleOf(i, &split.Parts[i], known)
		if err != nil {
			return nil, err
		}
		s.rules = append(s.rules, r)
	}
	if err := s.areas(split.Parts); err != nil {
		return nil, err
	}
	if split.CellSize == 0 {
		return s, nil
	}
	var err error
	s.grid, err = newGrid(s.frame, split, len(s.cut))
	return s, err
}

// ruleOf checks a part and makes its rule; known are the sheets of surfaces met before.
func (s *splitter) ruleOf(i int, p *Part, known map[*tin.Surface][]*tin.Sheet) (rule, error) {
	r := rule{within: len(p.Within) > 0, from: p.From, to: p.To, by: p.By}
	if p.To == 0 {
		r.to = math.Inf(1)
	}
	switch {
	case !(p.From >= 0) || math.IsInf(p.From, 1):
		return r, badSplit(CodeSplitDepths, "give it in metres below ground, 0 or more", "part[%d].from", i, "a part of the cut from a depth of %g m", p.From)
	case !(r.to > p.From) || math.IsInf(p.To, 1):
		return r, badSplit(CodeSplitDepths, "give it in metres below ground, or leave it out for no end", "part[%d].to", i, "a part of the cut from a depth of %g m to %g m", p.From, p.To)
	}
	for _, side := range []struct {
		key   string
		list  []Horizon
		below bool
	}{{"below", p.Below, true}, {"above", p.Above, false}} {
		for k, h := range side.list {
			held := heldTo{level: h.Level, below: side.below}
			switch {
			case h.Surface != nil:
				if known[h.Surface] == nil {
					sheets, err := h.Surface.Sheets(s.frame)
					if err != nil {
						return r, err
					}
					known[h.Surface] = sheets
				}
				held.sheets = known[h.Surface]
			case math.IsNaN(h.Level) || math.IsInf(h.Level, 0):
				return r, badSplit(CodeSplitHorizon, "give a surface, or a finite level", "part[%d]."+side.key+"[%d]", []any{i, k}, "a horizon with the level %g", h.Level)
			}
			r.horizons = append(r.horizons, held)
		}
	}
	return r, nil
}

// areas makes the sheet of the areas of the parts.
func (s *splitter) areas(parts []Part) error {
	var polygons []orb.Polygon
	for i := range parts {
		for _, p := range inOrder(parts[i].Within) {
			if err := tin.CheckOutline(p); err != nil {
				return inPart(err, i)
			}
			polygons, s.owner = append(polygons, p), append(s.owner, i)
		}
	}
	if len(polygons) == 0 {
		return nil
	}
	zones, err := tin.PolygonSheet(s.frame, polygons)
	if err != nil {
		return err
	}
	s.zones = zones
	return s.apart()
}

// inPart gives an error of an outline its key.
func inPart(err error, part int) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	keyed := *e
	keyed.Key = fmt.Sprintf("part[%d].within", part)
	return &keyed
}

// leastOverlap is the area, m2, of polygons that overlap, below which it is rounding.
const leastOverlap = 1e-6

// apart refuses polygons of one part that overlap.
func (s *splitter) apart() error {
	twice := make([]tin.Sum, len(s.rules))
	for t := range s.zones.Triangles() {
		for k := 1; k < len(t.In); k++ {
			// A part's polygons follow one another.
			if part := s.owner[t.In[k]]; part == s.owner[t.In[k-1]] {
				twice[part].Add(triangleArea2(t))
			}
		}
	}
	for i := range twice {
		if area := twice[i].Value() / 2 * s.frame.Area(); area > leastOverlap {
			return badSplit(CodeAreasOverlap, "draw them apart, or as one", "part[%d].within", i, "polygons of one part overlap on %.3g m2", area)
		}
	}
	return nil
}

func triangleArea2(t *tin.SheetTriangle) float64 {
	a, b, c := &t.Corner[0], &t.Corner[1], &t.Corner[2]
	return float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
}

// badSplit is an error with a key; place is its number or its numbers.
func badSplit(code, hint, key string, place any, message string, values ...any) error {
	places, several := place.([]any)
	if !several {
		places = []any{place}
	}
	return &tin.InputError{Code: code, Key: fmt.Sprintf(key, places...), Message: fmt.Sprintf(message, values...), Hint: hint}
}

// result turns the sums into cubic and square metres.
func (s *splitter) result() SplitResult {
	unit := s.frame.Area()
	part := func(i int) PartVolume {
		return PartVolume{Cut: s.cut[i].volume.Value() / 6 * unit, Area: s.cut[i].area.Value() / 2 * unit}
	}
	out := SplitResult{
		Rest: part(s.rest()), Undetermined: part(s.undetermined()),
		Cut: s.total.Value() / 6 * unit, Fill: s.fill.Value() / 6 * unit,
	}
	for i := range s.rules {
		out.Parts = append(out.Parts, part(i))
	}
	if s.grid != nil {
		out.Cells = s.grid.result()
	}
	return out
}
