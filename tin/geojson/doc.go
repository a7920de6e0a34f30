// Package geojson reads and writes outlines and lines in the part of
// GeoJSON (RFC 7946) that can hold them, in the coordinates of a site.
//
// [ReadPolygons] gives outlines, boundaries and voids, holes kept; [ReadLines]
// gives breaklines, [ReadPoints] spot heights, [ReadShapes] all of these. All keep the third number of a
// position as its level, which is the reason for a reader of our own.
// [WritePolygons] and [WriteLines] write what the first two read, [WriteFeatures]
// points and lines with properties.
//
// RFC 7946 knows only longitude and latitude; other coordinates are a matter of
// prior arrangement (section 4). Ours is a member at the top of the file,
//
//	{"type": "FeatureCollection", "coordinates_are": "site grid", "features": [...]}
//
// which says that positions are [easting, northing, level]. A file without it
// is read too, unless all its positions could be degrees (within 180 and 90):
// then it is refused, because a slip there is a slip of everything.
//
// Coordinates and levels stay in the unit of the file, which a member "unit" may state
// ([Options].Unit). The package does not ask
// whether a polygon is simple: that is [tin.CheckOutline].
package geojson
