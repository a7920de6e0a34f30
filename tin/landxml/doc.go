// Package landxml reads and writes the surfaces, points and outlines of LandXML,
// an open XML schema for land and civil works.
//
// [Read] takes files of the schemas 1.0, 1.1 and 1.2, by the local names of their
// elements, in one pass: triangulated surfaces as they were built, what they were
// built from (points, breaklines, contours, boundaries), COGO points, and plan
// features and parcels as lines with their arcs chorded. [Write] writes files of
// the schema 1.2. Numbers are written with the shortest decimals that give the
// same bits again, so what Write writes Read gives back.
//
// Coordinates and levels stay in the unit of the file, which [File.Unit] tells.
// In the file northing comes first; in this package easting does.
//
// The package does not compute with coordinate systems, alignments, pipes,
// parcels' areas or volumes that others computed: it says in a note what it did
// not read. It does not ask whether faces that share no edge cover one another,
// nor whether outlines are simple: that is for package tin.
package landxml
