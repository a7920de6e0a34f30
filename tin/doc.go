// Package tin makes a surface of surveyed points: a level for every place of
// the survey, linear on the triangles between its spot heights and breaklines.
//
// It is for existing ground, and for designed surfaces given by points: what a
// volume, a section or a set-out is measured from. It is not for drawing, for
// geodesy (plan coordinates are taken as a plane grid), or for anything with
// two levels at one place: a wall or an overhang has no surface here. It does
// not measure volumes either; package volume does that on the pieces this one
// hands out.
//
// # Where to start
//
// [FromPoints] makes a surface of spot heights in metres. [Build] takes several
// sources with breaklines, a boundary, voids, feet, and rules for points at one
// place; and surfaces as built, by their triangles ([Source].Faces). Then:
//
//   - [Surface.LevelAt] is the level at a place, [Surface.Profile] the ground
//     along a line;
//   - [Surface.Stats] and [Surface.Notes] say what the survey is like and what
//     was merged or left out;
//   - [Surface.Partition] cuts the plane by outlines that may cross, and
//     [Surface.Pieces] the surface by the cells that come out: common pieces on
//     which everything is linear, to integrate in closed form;
//   - [Surface.Contours] are its lines of given levels;
//   - [Surface.Ties] finds the places where four spots on a circle leave the
//     diagonal open, and how much volume hangs on it;
//   - [CheckOutline] says what is wrong with an outline, and where.
//
// Points come from files through tin/pointfile and the other format packages.
//
// # Coordinates
//
// Easting is x, northing y, level z, right-handed. What goes into [Build] is in
// the unit of the survey ([Options].Unit); everything else, in and out, is in
// metres. Inside, coordinates that are decimals are counted in whole units of
// their last digit (see [Frame]): a line that is straight on paper is straight
// here, in feet too.
//
// # What is promised
//
//   - The triangulation is the constrained Delaunay triangulation, decided by
//     exact arithmetic. Every spot with a level is a vertex of it. Faces that a
//     source gives are its triangles just so, or Build says which two cannot be.
//   - Where four or more spots lie on one circle, coordinates decide: the
//     greatest of the four by (easting, northing) is not on the diagonal. A
//     square grid gets all its diagonals from upper left to lower right.
//   - The surface is a function of the set of points and lines. The same survey
//     gives the same bits in any order of points, lines and files, with any
//     number of processors; a shift by a decimal changes no triangle. Only
//     [DuplicatesFirst] and [DuplicatesLast] name an order.
//   - Outside the domain there is no ground: no level is made up there. The
//     domain is the convex hull, less what [Options].MaxEdge takes away and what no
//     face covers of a source that gives faces, within
//     the boundary and outside the voids; its rim belongs to it.
//   - Nothing is dropped in silence: what is merged, split or left out is a
//     [Problem] among the notes.
//   - Input that cannot be used is an [*InputError] with a stable code, the
//     place in the file and how to mend it; bad input never panics.
//   - A [Surface] never changes, and may be read by many goroutines.
package tin
