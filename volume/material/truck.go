package material

import "math"

// Truck is what carries material off the site, or to it.
type Truck struct {
	Name         string
	Body         Loose   // what its body holds
	Payload      float64 // tonnes it may carry; 0: not known, and the body governs
	CycleMinutes float64 // from one load to the next, loading too; 0: not known
}

// Governs is what sets a limit.
type Governs string

// What may set a limit: to a load, or to the hours of a machine.
const (
	ByBody    Governs = "body"
	ByPayload Governs = "payload"
	ByMachine Governs = "machine"
	ByTrucks  Governs = "trucks"
)

// Load returns the loose volume of one load, and what limits it: the body, or the
// payload if so much would weigh more. tonnesPerLoose is the density in the truck; 0 is
// not known, and the body governs.
func (t Truck) Load(tonnesPerLoose float64) (Loose, Governs) {
	if t.Payload > 0 && tonnesPerLoose > 0 {
		if most := Loose(t.Payload / tonnesPerLoose); most < t.Body {
			return most, ByPayload
		}
	}
	return t.Body, ByBody
}

// Loads returns how many loads a loose volume makes: the last one need not be full, and
// is a load. A part of a load below 1e-9 of all of them is rounding, and none.
func (t Truck) Loads(volume Loose, tonnesPerLoose float64) (int, Governs) {
	load, governs := t.Load(tonnesPerLoose)
	loads := over(float64(volume), float64(load))
	return int(math.Ceil(loads * (1 - 1e-9))), governs
}

func (t *Truck) check(key string) error {
	if err := ofMachine(key+".body", float64(t.Body)); err != nil {
		return err
	}
	for _, v := range []struct {
		key   string
		value float64
	}{{"payload", t.Payload}, {"cycle", t.CycleMinutes}} {
		if v.value == 0 { // not known
			continue
		}
		if err := ofMachine(key+"."+v.key, v.value); err != nil {
			return err
		}
	}
	return nil
}
