package report

import (
	"io"
	"strings"

	"barrow/volume/takeoff"
)

// Word is a word of the sheets, and what it means on them.
type Word struct {
	Name    string   // as the sheets have it
	Also    []string // other words for it in the trade; none: nil
	Meaning string   // sentences, with its sign where it has one
	Unit    string   // what it is given in; empty: it is no quantity
	Not     string   // what it is easily taken for; empty: nothing
}

// Units of words. A job states its unit of length; volumes are in cubic metres, or in
// cubic yards where that is a foot.
const (
	inLength  = "m, ft or ftUS, as the job says"
	inVolume  = "m3, or yd3 in a job in feet"
	inArea    = "m2, ft2 or ftUS2, by the job's unit"
	inDegrees = "degrees from north clockwise"
	factor    = "none, it is a factor"
)

// Glossary writes what words mean, each with what it is given in, other words for it and
// what it is not; lines have at most 80 characters.
func Glossary(w io.Writer, words []Word) error {
	var s sheet
	for _, word := range words {
		s.line(Plain(word.Name))
		s.put("    ", word.Meaning)
		for _, more := range []struct{ lead, text string }{
			{"unit: ", word.Unit}, {"also: ", strings.Join(word.Also, ", ")}, {"not: ", word.Not},
		} {
			if more.text != "" {
				s.put("    "+more.lead, more.text)
			}
		}
	}
	return s.deliver(w)
}

// FindWord returns the word of this name, or one of its other names, in small or
// capital letters.
func FindWord(name string) (w Word, ok bool) {
	for _, w := range Words() {
		for _, n := range append([]string{w.Name}, w.Also...) {
			if strings.EqualFold(n, name) {
				return w, true
			}
		}
	}
	return Word{}, false
}

// Words returns the words of the sheets in the order in which a job meets them: from the
// survey to the finished work.
func Words() []Word {
	return []Word{
		{"easting", []string{"E", "x"}, "The first of the two plan coordinates of a place, growing to the east.", inLength,
			"the northing: files differ in which stands first, so their order is always stated"},
		{"northing", []string{"N", "y"}, "The second of the two plan coordinates of a place, growing to the north.", inLength, ""},
		{"level", []string{"reduced level", "RL", "height", "elevation"}, "How high a place lies above the job's datum; higher is more.", inLength,
			""},
		{"datum", nil, "The surface that levels are counted from.", "", "a benchmark, which is a mark of known level"},
		{"spot height", []string{"spot", "point"}, "A surveyed point: easting, northing and level.", "", ""},
		{"breakline", nil, "A line along which the ground changes slope, such as the top of a bank. Edges of the triangles follow it.", "", ""},
		{"boundary", nil, "Where the surveyed ground ends. Beyond it there is no ground: no level is made up there.", "", "the property line, which is a clearance"},
		{"void", nil, "A hole in the surveyed ground, such as a building.", "", ""},
		{"existing ground", []string{"ground"}, "The surface before the work: a straight plane on each triangle between spot heights and breaklines.", "", ""},
		{"topsoil", nil, "The layer that is taken off first. Its volume is bank measure, and no part of the cut.", inVolume, ""},
		{"stripped ground", nil, "Existing ground less the topsoil. Cut and fill are counted from it wherever topsoil is given.", "", ""},
		{"benchmark", []string{"BM"}, "A mark of known level. Its plan level less its measured level is added to every level of that survey.", inLength, "the datum"},
		{"clearance", nil, "A shape that the works must stay inside or outside of, with a distance: a property line, a service, a tree.", inLength, ""},
		{"pad", nil, "An area with one formation: level, falling at one slope, or with levels of its own.", "", ""},
		{"outline", nil, "The line round a pad, by its corners in order.", "", ""},
		{"finished level", []string{"finished floor level", "FFL"}, "The top of the finished work, such as of a slab.", inLength, "the formation, which is lower by the build-up"},
		{"build-up", []string{"layers"}, "The layers between finished level and formation, from the top, each with its thickness.", inLength, ""},
		{"formation", []string{"subgrade", "formation level"}, "The surface that is dug or filled to: finished level less the build-up.", inLength, "the finished level"},
		{"fall", nil, "The slope of a pad, as a ratio such as 1:80 (1 down, 80 along) or in per cent, and the bearing in which it goes down.", "", ""},
		{"bearing", nil, "A direction in plan.", inDegrees, ""},
		{"margin", []string{"working space"}, "Room outside a pad's outline at formation level, before the batter begins.", inLength, ""},
		{"formation outline", nil, "The outline with its margin: where the batter begins.", "", ""},
		{"batter", []string{"side slope"}, "The slope from the formation to the ground. 1V:2H is one up for two along. A batter is measured as it is given: whether ground stands at it is no question of geometry.", "",
			"a bare 1:2, which means one thing here and another there, and is refused"},
		{"upright", nil, "A face without a batter. Whether it stands, and what must hold it, is for a competent person.", "", ""},
		{"daylight line", nil, "Where a batter meets the ground: the crest in cut, the toe in fill.", "", ""},
		{"crest", nil, "The upper edge of a batter in cut, where it meets the ground.", "", ""},
		{"toe", nil, "The lower edge of a batter in fill, where it meets the ground.", "", ""},
		{"works", nil, "All that is dug or filled: the pads, their margins, and their batters out to the daylight line.", "", ""},
		{"zero line", nil, "Where cut turns to fill within the works.", "", ""},
		{"depth", nil, "Ground less formation at a place: above zero in cut, below zero in fill.", inLength, ""},
		{"cut", nil, "The volume between ground and formation where the ground is higher; never below zero. Bank measure.", inVolume, "spoil, which is what leaves the site"},
		{"fill", nil, "The space between formation and ground where the ground is lower; never below zero. Compacted measure.", inVolume, "the cut that makes it, which is more or less than it"},
		{"cut less fill", nil, "Their difference, before any factor; above zero where the cut is more. Geometry only.", inVolume, "a surplus"},
		{"net void", nil, "A basis of measurement: the outline with upright faces, without margin and batters.", inVolume, "cut less fill"},
		{"as dug", nil, "A basis of measurement: everything taken out or filled, margin and batters too.", inVolume, ""},
		{"trim and roll", nil, "The area of formation to be brought to its level and rolled.", inArea, ""},
		{"bank", []string{"bank measure"}, "A volume in place, before it is dug.", inVolume, ""},
		{"loose", []string{"loose measure"}, "The same ground in the truck or in a heap.", inVolume, ""},
		{"compacted", []string{"compacted measure"}, "The same ground placed and rolled.", inVolume, ""},
		{"loose per bank", []string{"bulking factor"}, "Loose volume for one volume in bank.", factor, "swell, which is the factor less 1, in per cent"},
		{"compacted per bank", nil, "Compacted volume for one volume in bank.", factor, "shrink, which is in per cent, of one or of the other"},
		{"surplus", nil, "What is left over after factors and the rules of reuse.", inVolume, "cut less fill"},
		{"short", []string{"shortage"}, "What is missing after factors and the rules of reuse.", inVolume, ""},
		{"spoil", nil, "Surplus that leaves the site.", inVolume, "cut"},
		{"import", nil, "Shortage that is brought to the site.", inVolume, "fill"},
		{"prism", nil, "A column between two surfaces over one triangle. The takeoff is their sum.", inVolume, ""},
		{"alignment", nil, "A line to cut sections along.", "", ""},
		{"chainage", nil, "Distance along an alignment from its beginning.", inLength, ""},
		{"offset", nil, "Distance from an alignment: to its right above zero, to its left below.", inLength, ""},
		{"section", []string{"cross-section"}, "A vertical cut across an alignment.", "", ""},
		{"end area", nil, "The area of cut, or of fill, on one section.", inArea, ""},
		{"average end area", nil, "A volume by sections: half the sum of two end areas, times the distance between them.", inVolume, ""},
		{"prismoidal", []string{"prismoidal rule"}, "A volume by sections with one in the middle: a sixth of the two ends and four times the middle, times the distance.", inVolume, ""},
		{"unit-area grid", nil, "A volume by depths at the corners of square cells.", inVolume, ""},
		{"mass haul", nil, "How much is carried how far along an alignment.", "", ""},
		{"95 % interval", nil, "A range around a volume in which it lies in 19 of 20 such surveys, as far as the stated errors of the survey and the ground between spots go.", inVolume, "a limit: 1 in 20 lies outside, and what the sheet lists as left out is in no interval"},
		{"set-out", []string{"setting out"}, "Pegs and levels given to the people who dig.", "", ""},
		{"backsight", []string{"BS"}, "The first reading of a set-up, of the staff on a known level.", inLength, ""},
		{"foresight", []string{"FS"}, "The last reading of a set-up, before the instrument is moved.", inLength, ""},
		{"height of collimation", []string{"height of instrument", "HI"}, "The level of the line of sight: a known level plus the backsight on it.", inLength, ""},
		{"staff reading", nil, "What the staff reads when its foot is on the wanted level: height of collimation less that level. More is lower.", inLength, ""},
		{"misclosure", nil, "What a level book is off at a known level: level found less level known.", inLength, ""},
		{"conformance", nil, "Measured levels of the finished work against the levels asked for.", "", ""},
		{"tolerance", nil, "The deviation that is allowed, up and down apart: +0.010 -0.030 is 10 mm high to 30 mm low, in metres.", inLength, ""},
		{"HIGH, LOW", []string{"HIGH", "LOW"}, "The measured level lies above, or below, the level asked for.", inLength, ""},
	}
}

// JobKeys writes the keys of a job file, table by table; lines have at most 80 characters.
func JobKeys(w io.Writer, tables []takeoff.JobTable) error {
	var s sheet
	for _, table := range tables {
		title := strings.Join(table.Paths, ", ")
		if title == "" {
			title = "top of the file"
		}
		s.put("", title)
		s.put("    ", strings.Join(table.Keys, ", "))
	}
	return s.deliver(w)
}
