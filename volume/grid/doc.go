// Package grid measures cut and fill by the unit-area grid: the depths at the
// corners of a grid, each weighted by the number of cells that meet there.
//
// It is an independent check. It shares no code with package volume or with
// sections, only the ground itself: what depth there is at a place. It is also
// the method for those who have a level book and no surface. It is not for the
// volume to be paid for where there is a surface: prisms (package volume) are
// exact on the same ground, a grid only samples it.
//
// # Where to start
//
//   - [Over] lays a grid of squares over an outline, at any bearing.
//   - [Measure] measures on it: [Between] gives the depths of ground, less
//     topsoil, to a formation that is a plane, a surface or a function.
//   - [ReadTable] reads a file of corner levels or depths; [Table.Measure]
//     measures it.
//   - [Contours] is the trapezoidal and the prismoidal rule over areas of contours.
//
// # Signs and units
//
// Depth = ground - formation; cut where it is positive, fill where negative.
// Cut is bank measure, fill the space to be filled. Lengths are metres, areas
// square metres in plan, volumes cubic metres.
//
// # Error
//
// A grid sees the ground at its corners only. On smooth ground its error is of
// the second order: half the spacing, a quarter of the error. On a plane there
// is none, at any bearing, for an outline of any shape. With [Options].Halve a
// measurement carries the error to be expected of the sampling. Results are the
// same to the last bit wherever an outline starts and whichever way it runs, and
// whatever the order of points and corners.
package grid
