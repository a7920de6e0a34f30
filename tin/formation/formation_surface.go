package formation

import (
	"context"

	"barrow/tin"
)

// FormationSurfaces returns the formation inside the formation outlines, without batters,
// as [Dig.Surfaces] returns all of the works.
func (d *Dig) FormationSurfaces(ctx context.Context) ([]*tin.Surface, error) {
	inside := Dig{layout: d.layout, ground: d.ground}
	return inside.Surfaces(ctx)
}
