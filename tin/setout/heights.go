package setout

// Instrument is a level or a laser plane that is set up and read on a benchmark, in one
// unit of length.
type Instrument struct {
	Name      string  // of the benchmark
	Benchmark Decimal // its level
	Backsight Decimal // the staff reading on it
}

// Collimation returns the level of the line of sight: benchmark plus backsight.
func (i Instrument) Collimation() Decimal { return i.Benchmark + i.Backsight }

// Sight returns what to look for at a level.
func (i Instrument) Sight(level Decimal) Sight {
	reading := i.Collimation() - level
	return Sight{Level: level, Reading: reading, Above: level - i.Benchmark, Receiver: reading - i.Backsight}
}

// Sight is what the staff reads when its foot is on a level.
type Sight struct {
	Level   Decimal `json:"level"`
	Reading Decimal `json:"reading"`         // collimation less level; below 0 the level is above the line of sight
	Above   Decimal `json:"above_benchmark"` // level less benchmark; below 0 it is under it

	// Receiver is how far a receiver on the staff moves up from where it met the plane
	// on the benchmark; below 0 it moves down. It is the benchmark less the level.
	Receiver Decimal `json:"receiver_up"`
}

// Readable reports whether an upright staff can show the reading: it is not below 0 and,
// where the staff's length is given, not beyond it.
func (s Sight) Readable(staff Entry) bool {
	return s.Reading >= 0 && (!staff.Given || s.Reading <= staff.Value)
}
