package formation

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Pad is an area with one formation: level, falling at one slope, or with its
// own levels.
type Pad struct {
	Name     string
	Outline  orb.Polygon // metres; first ring outer, others holes; open or closed, any direction
	Corners  []string    // names of the outer ring's corners, in its order; an empty name stands for the number, 1, 2, ...
	Finished float64     // finished level, metres; at Fall.At if the pad falls; ignored with Levels
	Layers   BuildUp
	Fall     *Fall   // nil: level, or Levels
	Levels   *Levels // nil: Finished, and Fall if there is one

	Margin    float64 // working space outside the outline at formation level, metres on the grid; below 1e-6 it is none
	Cut, Fill Batter  // the zero value: an upright face, no batter given
	Edges     []Edge  // what differs at some sides of the outer ring

	Thickenings []Thickening // dug below the formation
}

// Levels are the finished levels of a pad that carries its own. Corners of the
// outline all need one. A line's vertex may be without where it lies at a
// corner or a spot.
//
// What lies within 1e-6 m of a corner counts as at the corner, within 1e-6 m of
// a side as on the side; on a side it must be within 0.02 m of the level
// between the side's corners, or else be made a corner of the outline.
type Levels struct {
	Outline [][]float64     // per ring, per vertex in the outline's order, without the closing vertex, metres
	Spots   []tin.Point     // inside the outline, metres
	Lines   []tin.Breakline // inside the outline, metres
}

// Check returns a *tin.InputError if the pad cannot be laid: an outline that
// is not simple, names that do not fit, a layer without thickness, a level or
// slope that is no number, an incomplete set of levels, a margin or batter that
// cannot be, a side ruled twice, a thickening without a depth. Its key is relative to the pad: "finished",
// "layers[1].thickness", "edges[0].from". [Lay] checks every pad, and puts
// "pad[i]." before the key.
//
// Whether spots and lines of [Levels] lie inside and agree is found by [Lay].
func (p Pad) Check() error { return p.check(Options{}) }

func (p Pad) check(opts Options) error {
	if err := tin.CheckOutline(p.Outline); err != nil {
		return padError(err, p.label(), "outline")
	}
	rings := outlineRings(p.Outline)
	if err := p.checkLevels(rings, opts); err != nil {
		return err
	}
	if _, err := p.sideTerms(rings); err != nil {
		return err
	}
	for i := range p.Thickenings {
		if err := p.checkThickening(&p.Thickenings[i], i, opts); err != nil {
			return underKey(err, fmt.Sprintf("thickenings[%d]", i))
		}
	}
	return nil
}

// checkLevels is Check for an outline that is known to be good.
func (p Pad) checkLevels(rings [][]orb.Point, opts Options) error {
	names, err := p.cornerNames(rings)
	if err != nil {
		return err
	}
	for i, l := range p.Layers {
		if !(l.Thickness > 0) || !isFinite(l.Thickness) {
			name := fmt.Sprintf("layer %q", l.Name)
			if l.Name == "" {
				name = fmt.Sprintf("layer %d", i+1)
			}
			return inputError(CodeBadThickness, fmt.Sprintf("layers[%d].thickness", i), "give a thickness above 0, or leave the layer out",
				"%s of %s is %s thick", name, p.label(), opts.length("%g", l.Thickness))
		}
	}
	if p.Levels != nil {
		return p.checkOwnLevels(rings, names)
	}
	if !isFinite(p.Finished) {
		return inputError(CodeBadLevel, "finished", "give it as a finite number",
			"finished level of %s is %g", p.label(), p.Finished)
	}
	if p.Fall != nil {
		return p.checkFall()
	}
	return nil
}

func (p Pad) checkFall() error {
	f := p.Fall
	if !(f.Slope >= 0 && f.Slope <= 1) {
		return inputError(CodeBadSlope, "fall.slope", "give the fall per length along, 0.01 for 1:100, from 0 to 1",
			"slope of %s is %g", p.label(), f.Slope)
	}
	if err := checkBearing(f.Bearing, "fall.bearing"); err != nil {
		return padError(err, p.label(), "")
	}
	if !isFinitePoint(f.At) {
		return inputError(CodeBadPoint, "fall.at", "give easting and northing of the point where the finished level holds",
			"point (%g, %g) of the fall of %s is not a place", f.At[0], f.At[1], p.label())
	}
	return nil
}

// checkOwnLevels looks at completeness; places are looked at when the pad's
// surface is built.
func (p Pad) checkOwnLevels(rings [][]orb.Point, names [][]string) error {
	if p.Fall != nil {
		return inputError(CodeFallAndLevels, "fall", "leave out one of the two",
			"%s has both a fall and its own levels", p.label())
	}
	const hint = "give a finished level at every corner of the outline and of its holes"
	for r, ring := range rings {
		var levels []float64
		if r < len(p.Levels.Outline) {
			levels = p.Levels.Outline[r]
		}
		if len(levels) > len(ring) {
			return inputError(CodeLevelsIncomplete, fmt.Sprintf("levels.outline[%d]", r), "give one per corner, none for a closing vertex",
				"%s has %d levels for the %d corners of %s", p.label(), len(levels), len(ring), ringName(r))
		}
		for i := range ring {
			if i < len(levels) && isFinite(levels[i]) {
				continue
			}
			err := inputError(CodeLevelsIncomplete, fmt.Sprintf("levels.outline[%d][%d]", r, i), hint,
				"%s has no level at corner %q", p.label(), names[r][i])
			err.At = &orb.Point{ring[i][0], ring[i][1]}
			return err
		}
	}
	if len(p.Levels.Outline) > len(rings) {
		return inputError(CodeLevelsIncomplete, fmt.Sprintf("levels.outline[%d]", len(rings)), hint,
			"%s has levels for %d rings, but its outline has %d", p.label(), len(p.Levels.Outline), len(rings))
	}
	for i, s := range p.Levels.Spots {
		if !isFinite(s.E) || !isFinite(s.N) {
			return inputError(CodeBadPoint, fmt.Sprintf("levels.spots[%d]", i), "give easting and northing as finite numbers",
				"%s of %s is at (%g, %g), not a place", spotName(s, i), p.label(), s.E, s.N)
		}
		if !isFinite(s.Level) {
			err := inputError(CodeLevelsIncomplete, fmt.Sprintf("levels.spots[%d]", i), "give it a level, or leave the spot out",
				"%s of %s has no level", spotName(s, i), p.label())
			err.At = &orb.Point{s.E, s.N}
			return err
		}
	}
	for i, l := range p.Levels.Lines {
		for j, v := range l.Vertices {
			if isFinite(v.E) && isFinite(v.N) && (math.IsNaN(v.Level) || isFinite(v.Level)) {
				continue
			}
			return inputError(CodeBadPoint, fmt.Sprintf("levels.lines[%d][%d]", i, j), "give easting, northing and level as finite numbers",
				"vertex %d of %s of %s is at (%g, %g), level %g", j+1, lineName(l, i), p.label(), v.E, v.N, v.Level)
		}
	}
	return nil
}

// cornerNames returns the names of the corners of all rings.
func (p Pad) cornerNames(rings [][]orb.Point) ([][]string, error) {
	if len(p.Corners) > 0 && len(p.Corners) != len(rings[0]) {
		return nil, inputError(CodeCornerNames, "corners", "give one name per corner, none for a closing vertex, or none at all",
			"%s has %d names for its %d corners", p.label(), len(p.Corners), len(rings[0]))
	}
	names := make([][]string, len(rings))
	seen := make(map[string]int, len(rings[0]))
	for r, ring := range rings {
		names[r] = make([]string, len(ring))
		for i := range ring {
			name := cornerNumber(r, i)
			if r == 0 && len(p.Corners) > 0 && p.Corners[i] != "" {
				name = p.Corners[i]
			}
			if j, ok := seen[name]; ok && r == 0 {
				return nil, inputError(CodeCornerNames, fmt.Sprintf("corners[%d]", i), "give each corner a name of its own",
					"corners %d and %d of %s are both named %q", j+1, i+1, p.label(), name)
			}
			seen[name] = i
			names[r][i] = name
		}
	}
	return names, nil
}

// cornerNumber names a corner that has no name: "3", or "hole 2: 3" in the
// second hole.
func cornerNumber(ring, i int) string {
	if ring == 0 {
		return fmt.Sprint(i + 1)
	}
	return fmt.Sprintf("hole %d: %d", ring, i+1)
}

func ringName(ring int) string {
	if ring == 0 {
		return "the outline"
	}
	return fmt.Sprintf("hole %d", ring)
}

func spotName(s tin.Point, i int) string {
	if s.Name == "" {
		return fmt.Sprintf("spot %d", i+1)
	}
	return fmt.Sprintf("spot %q", s.Name)
}

func lineName(l tin.Breakline, i int) string {
	if l.Name == "" {
		return fmt.Sprintf("line %d", i+1)
	}
	return fmt.Sprintf("line %q", l.Name)
}

// label names the pad in messages.
func (p Pad) label() string {
	if p.Name == "" {
		return "the pad"
	}
	return fmt.Sprintf("pad %q", p.Name)
}

// outlineRings returns the rings without closing vertices.
func outlineRings(p orb.Polygon) [][]orb.Point {
	rings := make([][]orb.Point, len(p))
	for i, r := range p {
		if n := len(r); n > 1 && r[0] == r[n-1] {
			r = r[:n-1]
		}
		rings[i] = r
	}
	return rings
}

func inputError(code, key, hint, format string, args ...any) *tin.InputError {
	return &tin.InputError{Code: code, Message: fmt.Sprintf(format, args...), Key: key, Hint: hint}
}

// underKey puts a key before that of an error.
func underKey(err error, key string) error {
	in, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return err
	}
	e := *in
	e.Key = strings.TrimSuffix(key+"."+e.Key, ".")
	return &e
}

// padError adds a pad's label to the message of an error of tin, and the key if
// it has none.
func padError(err error, label, key string) error {
	in, ok := errors.AsType[*tin.InputError](err)
	if !ok {
		return fmt.Errorf("formation: %s: %w", label, err)
	}
	e := *in
	e.Message = label + ": " + e.Message
	if e.Key == "" {
		e.Key = key
	}
	return &e
}
