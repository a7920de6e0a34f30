package report

// words says what the words of the page mean, and where the method stands.
func words() []block {
	items := []htmlItem{
		{"Depth", []string{"ground less formation at a place: cut where the ground is higher, fill where it is lower. Where topsoil is taken off, the ground is the stripped ground. (docs/methods.md, 1)"}},
		{"Cut, fill", []string{"the volume in place before digging, bank measure; the space to be filled. One is no measure of how much of the other it makes. (4)"}},
		{"Formation", []string{"the surface dug or filled to: the finished level less the build-up, the layers under it. (3)"}},
		{"Net void", []string{"the volumes within the outlines, with upright faces. (4)"}},
		{"As dug", []string{"the net void with the margin, the working space round an outline, and the batters, the slopes from there to the ground. (3.1, 3.2)"}},
		{"Batter 1V:2H", []string{"one up for two along. A shape to measure by: it does not say that ground stands so. (3.2, 3.7)"}},
		{"Daylight line", []string{"where a batter meets the ground: the crest in cut, the toe in fill. (3.6)"}},
		{"Zero line", []string{"where cut turns to fill. (4)"}},
		{"Prism", []string{"a triangular column between ground and formation. All of them together are the volume: each piece of a triangle of the ground over the formation, split on the zero line. (4)"}},
		{"Section", []string{"a vertical cut across an alignment. Average end areas: the mean of two areas times the length between them. Prismoidal: that length over six, times both areas and four times the one half way. (5)"}},
		{"Unit-area grid", []string{"the mean depth at a cell's corners times its area, for all cells. (4.1)"}},
		{"± 95 %", []string{"the half width of an interval that holds the true value in 95 of 100 such cases, as far as the errors named beside it go, and no others. (4.8)"}},
	}
	for i := range items {
		for k := range items[i].Words {
			items[i].Words[k] = printed(items[i].Words[k])
		}
	}
	return []block{{Items: items}}
}
