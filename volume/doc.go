// Package volume measures cut and fill between ground and formation: prisms on
// the common pieces of both, split on the zero line and integrated in closed
// form.
//
// Depth = ground - formation. Cut is where depth is positive, fill where it is
// negative. Cut is bank measure, the volume in place before digging; fill is
// the space to be filled, compacted measure. Their difference is geometry, not
// a surplus.
//
// Start at [AgainstPlane] for one level or falling plane within an outline, or
// at [AgainstFacets] for the facets of a laid-out formation and [Faces] for its
// batters, or at [Between] for two surfaces; [Compare] measures two surveys, before
// and after. [SplitWorks] splits the cut by depth, areas, rock and water, and by cells.
// Sections and grids, the independent methods, are packages of their own and share no
// code with this one.
//
// Lengths are metres, areas square metres in plan, volumes cubic metres.
//
// # Error
//
// A piece is a convex polygon with a linear depth, so its volume is exact but
// for rounding. Areas come from coordinate differences in the surface's local
// units, totals are compensated and summed in an order that depends on
// coordinates only: results repeat to the last bit. Held against rational
// arithmetic on the same triangles, cut and fill agree to 1e-12 of the volume
// moved (docs/checks.md).
package volume
