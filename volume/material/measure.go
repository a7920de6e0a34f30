package material

// Volumes in the three measures of earth. They are types of their own so that a factor
// used twice, or on the wrong measure, does not compile.
type (
	Bank      float64 // in place, before digging
	Loose     float64 // dug: in the bucket, the truck, the heap
	Compacted float64 // placed and rolled
)

// Factors turn one measure of a material into another. A factor of 0 is not known, and
// what depends on it comes out as 0.
type Factors struct {
	LoosePerBank     float64 // loose volume / bank volume, the bulking factor
	CompactedPerBank float64 // compacted volume / bank volume
}

// Loose returns what a bank volume is in the truck.
func (f Factors) Loose(b Bank) Loose { return Loose(float64(b) * f.LoosePerBank) }

// Compacted returns what a bank volume is when placed and rolled.
func (f Factors) Compacted(b Bank) Compacted { return Compacted(float64(b) * f.CompactedPerBank) }

// BankOfLoose returns what a loose volume was in place.
func (f Factors) BankOfLoose(l Loose) Bank { return Bank(over(float64(l), f.LoosePerBank)) }

// BankOfCompacted returns what must be dug for a compacted volume.
func (f Factors) BankOfCompacted(c Compacted) Bank {
	return Bank(over(float64(c), f.CompactedPerBank))
}

// over is a quotient, 0 where the divisor is not known.
func over(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

// LoosePerBankOf returns the factor of two densities of one material, in the same
// unit: bank density / loose density.
func LoosePerBankOf(bankDensity, looseDensity float64) float64 {
	return over(bankDensity, looseDensity)
}
