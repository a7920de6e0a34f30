package geotiff

import "fmt"

// The tags that are read: TIFF 6.0 and its supplement 1 for those below 33000,
// OGC 19-008r4 for those of places and keys. 42112 and 42113 are private tags in
// common use.
const (
	tagSubfile        = 254
	tagColumns        = 256
	tagRows           = 257
	tagBits           = 258
	tagCompression    = 259
	tagPhotometric    = 262
	tagFillOrder      = 266
	tagStripOffsets   = 273
	tagOrientation    = 274
	tagBands          = 277
	tagRowsPerStrip   = 278
	tagStripCounts    = 279
	tagPlanar         = 284
	tagPredictor      = 317
	tagTileColumns    = 322
	tagTileRows       = 323
	tagTileOffsets    = 324
	tagTileCounts     = 325
	tagExtraSamples   = 338
	tagFormat         = 339
	tagPixelScale     = 33550
	tagTiepoints      = 33922
	tagTransformation = 34264
	tagKeys           = 34735
	tagKeyDoubles     = 34736
	tagKeyTexts       = 34737
	tagMetadata       = 42112
	tagNoData         = 42113
)

// Values of tags.
const (
	subfileReduced = 1
	subfileMask    = 4

	photometricMask = 4

	extraAlpha = 1 // associated; 2 is unassociated

	planarApart = 2

	predictorNone     = 1
	predictorNumbers  = 2
	predictorFloating = 3

	formatUnsigned = 1
	formatSigned   = 2
	formatFloating = 3

	compressionNone    = 1
	compressionLZW     = 5
	compressionDeflate = 8
	compressionZip     = 32946 // Deflate by its older number
	compressionPack    = 32773 // PackBits
)

// The most that is read.
const (
	maxImages   = 1000    // directories followed
	maxTags     = 1000    // in a directory
	maxMetadata = 1 << 20 // bytes of band metadata
)

// compressions are the names of those that are not read.
var compressions = map[uint64]string{
	2: "CCITT run lengths", 3: "CCITT Group 3", 4: "CCITT Group 4",
	6: "old JPEG", 7: "JPEG", 34712: "JPEG 2000", 34887: "LERC", 34925: "LZMA",
	50000: "ZSTD", 50001: "WebP", 50002: "JPEG XL", 52546: "JPEG XL",
}

// pictures are the names of photometric interpretations that hold no levels.
var pictures = map[uint64]string{
	2: "red, green and blue", 3: "a palette of colours", photometricMask: "a mask",
	5: "printing colours", 6: "YCbCr colours", 8: "CIE Lab colours",
}

var tagNames = map[uint16]string{
	tagColumns: "width", tagRows: "height", tagBits: "bits per sample",
	tagStripOffsets: "strip offsets", tagStripCounts: "strip byte counts",
	tagTileColumns: "tile width", tagTileRows: "tile height", tagTileOffsets: "tile offsets", tagTileCounts: "tile byte counts",
	tagPixelScale: "pixel scale", tagTiepoints: "tie points", tagTransformation: "transformation",
	tagKeys: "geo keys", tagKeyDoubles: "geo key numbers", tagKeyTexts: "geo key texts",
	tagMetadata: "band metadata", tagNoData: "no data",
}

// show names a tag for a message.
func show(tag uint16) string {
	if name := tagNames[tag]; name != "" {
		return fmt.Sprintf("tag %d (%s)", tag, name)
	}
	return fmt.Sprintf("tag %d", tag)
}
