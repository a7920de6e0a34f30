// Package section checks earthwork volumes the way they were measured before there
// were surfaces: vertical cuts across a line, their areas, and sums over them. It
// shares nothing with package volume but the ground itself, so that where both
// agree, the arithmetic of both is likely to be right.
//
// It is for a second opinion on a takeoff, for roads and other long works, and for
// a cross-section book where there is no surface at all. It is not the measure of
// record: between two sections it knows nothing. Nor does it draw, or find batters;
// a formation comes in as a surface, as plane faces, or as typed levels.
//
// # Where to start
//
// With a surface: [NewAlignment], or [Default] for the long axis of the works;
// [Alignment.Marks] says where the sections are, [Cut] cuts them, [Run.Spans]
// has their areas, and [AverageEndArea] and [Prismoidal] the volumes. Without one:
// [ReadBook] reads a cross-section book, [FromLevels] makes a section of typed offsets and levels, [ThreeLevel] and
// [LevelSection] are the short forms. [MassHaul] says what is hauled how far.
//
// # Words and signs
//
// Chainage is the distance along the alignment, offset the distance from it along
// the section, to the right (+) or left (-) of one who looks up the chainages. Depth
// is ground less formation, cut where positive; the ground is measured less the
// topsoil taken off it. Lengths are metres, areas square metres, volumes cubic
// metres; the sums over typed sections hold in any unit.
//
// # Sections at bends
//
// A section at a bend lies on the bisector, all others are square to their leg. An
// area on a bisector is larger than the one square to the leg, and the way from one
// section to the next is longer on the outside of the bend than on the inside; the
// volumes count both (see [Span]), by the theorem of Pappus. Three legs or more beside
// one work want a reach.
//
// # Error
//
// Areas are exact but for rounding: ground and formation are cut where they change
// slope, and split where they cross. Volumes are not: both sums guess what lies
// between sections. On smooth works the error of average end areas falls with the
// square of the interval and that of the prismoidal rule with its fourth power; where
// works begin, end or change slope between two sections both are of second order, and
// of the first where an upright face crosses between them. [Richardson] and
// [OverMeasure] estimate it. Where works are missed, because they lie past the ends or
// off the survey, or are met twice, a note says so ([Run].Notes).
package section
