package material

// Kind is a kind of ground with a published range of its loose volume per bank volume.
// There are none for the compacted volume: those that could be read are for other
// ground than yours, and the caller gives them.
type Kind struct {
	Name         string
	LooseLow     float64 // loose per bank
	LooseHigh    float64
	LoosePerBank float64 // the middle of the two, which is the default
	PublishedIn  string  // where the range was published
}

const guidebook = "British Columbia Ministry of Forests, Forest Road Engineering Guidebook, loose (trucked) material volume"

// Kinds are the kinds with published ranges.
func Kinds() []Kind {
	return []Kind{
		{"sand and gravel", 1.05, 1.15, 1.10, guidebook},
		{"mixed soils", 1.15, 1.35, 1.25, guidebook},
		{"blasted rock", 1.50, 1.65, 1.575, guidebook},
	}
}

// KindNamed returns the kind of a name.
func KindNamed(name string) (Kind, bool) {
	for _, k := range Kinds() {
		if k.Name == name {
			return k, true
		}
	}
	return Kind{}, false
}
