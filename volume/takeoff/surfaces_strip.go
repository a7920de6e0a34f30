package takeoff

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume"
)

// soilPart is ground with topsoil of one depth, metres, after that was taken off.
type soilPart struct {
	depth   float64
	surface *tin.Surface
}

// stripped adds the ground inside the strip with the topsoil taken off, one surface for
// each depth.
func (s *surfacing) stripped() error {
	strip := s.run.strip
	if strip == nil {
		return nil
	}
	parts, depths, err := s.lowered(s.run.stripRings(strip.Outline))
	if err != nil {
		return err
	}
	named := 0
	for i, source := range parts {
		if len(source.Faces) == 0 || depths[i] == 0 {
			continue
		}
		named++
		name := "stripped ground"
		if len(strip.Depths) > 1 {
			name = fmt.Sprintf("stripped ground %d", named)
		}
		if _, err := s.add(SurfaceStripped, name, depths[i], source); err != nil {
			return err
		}
	}
	if named > 0 {
		s.notes = append(s.notes, tin.Problem{Code: NoteStripUpright, Message: "the stripped ground ends at an upright face as high as the topsoil is deep: " +
			"a surface of triangles has none, so it is not joined to the existing ground"})
	}
	return nil
}

// stripRings returns each ring of a strip as a polygon of its own: rings may touch.
func (r *run) stripRings(outline orb.MultiPolygon) (rings []orb.Polygon) {
	for _, p := range outline {
		for _, ring := range p {
			rings = append(rings, orb.Polygon{ring})
		}
	}
	return rings
}

// lowered returns the ground inside rings, all of it without rings, less its topsoil: a
// part for each depth, metres, ascending. Levels and places are in the job's unit.
func (s *surfacing) lowered(rings []orb.Polygon) (parts []tin.Source, depths []float64, err error) {
	soil := s.run.soil
	depths = []float64{0, soil.Depth}
	polygons := slices.Clone(rings)
	for _, a := range soil.Areas {
		polygons = append(polygons, a.Area)
		depths = append(depths, a.Depth)
	}
	slices.Sort(depths)
	depths = slices.Compact(depths)
	parts, err = s.run.ground.FacesWithin(s.run.ctx, polygons, func(in []int) int {
		inside, depth := len(rings) == 0, soil.Depth
		for _, k := range in {
			if k < len(rings) {
				inside = !inside
			} else {
				depth = soil.Areas[k-len(rings)].Depth
			}
		}
		if !inside {
			return -1
		}
		return slices.Index(depths, depth)
	})
	if err != nil {
		return nil, nil, err
	}
	for i := range parts {
		for k := range parts[i].Points {
			p := &parts[i].Points[k]
			p.Level = addLevels(p.Level, -depths[i]/s.run.unit)
		}
	}
	return parts, depths, nil
}

// hold measures cut and fill between the ground less its topsoil and the works, both as
// the triangles that are handed out.
func (s *surfacing) hold() error {
	s.soilParts = []soilPart{{0, s.built}}
	if hasTopsoil(s.run.soil) {
		parts, depths, err := s.lowered(nil)
		if err != nil {
			return err
		}
		s.soilParts = nil
		for i, source := range parts {
			if len(source.Faces) == 0 {
				continue
			}
			surface, err := s.build(source)
			if err != nil {
				return fmt.Errorf("ground less topsoil: %w", err)
			}
			s.soilParts = append(s.soilParts, soilPart{depths[i], surface})
		}
	}
	var cut, fill tin.Sum
	for _, ground := range s.soilParts {
		for _, works := range s.worksOf {
			c, err := volume.Between(s.run.ctx, ground.surface, works, nil)
			if err != nil {
				return err
			}
			cut.Add(c.Cut)
			fill.Add(c.Fill)
		}
	}
	v, t := s.run.volumeUnit(), &s.measured.Total
	b := SurfacesVolumes{Cut: cut.Value() / v, Fill: fill.Value() / v, TakeoffCut: t.Cut, TakeoffFill: t.Fill}
	s.res.Between = b
	if off := max(math.Abs(b.Cut-b.TakeoffCut), math.Abs(b.Fill-b.TakeoffFill)); off > mostSurfacesDiffer*(t.Cut+t.Fill) {
		s.warnings = append(s.warnings, tin.Problem{Code: WarnSurfacesDiffer, Message: fmt.Sprintf(
			"cut and fill between the surfaces differ from those of the takeoff by up to %.3g %s", off, s.res.Units.Volume)})
	}
	return nil
}
