package material

import (
	"fmt"
	"math"
	"slices"

	"barrow/tin"
)

// Codes of errors.
const (
	codeMaterialName = "duplicate_material_name" // two materials have one name, or one has none
	codeTruckName    = "duplicate_truck_name"    // two trucks have one name
	codeMachineName  = "duplicate_machine_name"  // two machines have one name
	codeBadAmount    = "bad_amount"              // a volume, density, share or time that cannot be
	codeNoFactor     = "factor_missing"          // an import bought in a measure that its factors do not lead to
	codeUnknownTruck = "unknown_truck"           // a machine loads a truck that is not there
)

// Site is what was measured of a site, of which materials it is, and with what it is
// moved.
type Site struct {
	Materials  []Material // in the order in which they become fill
	Unassigned Bank       // dug, and of none of them
	Fill       Compacted  // to be filled, backfill too
	Import     *Import    // what makes up for a shortage; nil: not said
	Trucks     []Truck    // each for all of the spoil, beside the others
	Machines   []Machine

	// Cells are where it is dug and filled, for the haul on site; none: no haul.
	Cells []Cell
}

// Material is one kind of ground that is dug.
type Material struct {
	Name string
	Factors
	FactorsFrom string  // where factors come from that nobody gave; empty: all were given
	Density     float64 // tonnes in one bank volume; 0: not known
	Topsoil     bool    // stripped, not cut
	Reuse       float64 // the share of it that may become fill, 0 to 1
	Dug         Bank
	Thickenings Bank      // of Dug: what is dug below the formation
	Spread      Compacted // of it, put back as itself before any becomes fill: topsoil spread again
}

// Import is what is bought to make up for a shortage.
type Import struct {
	Name string
	Factors
	Density float64 // tonnes in one bank volume; 0: not known
	Measure Measure // in which it is bought
}

// Measure is what a material is bought in.
type Measure string

// What an import may be bought in.
const (
	ByLoose     Measure = "loose"
	ByCompacted Measure = "compacted"
	ByTonnes    Measure = "tonnes"
)

// Supply is the fill that the site makes if all of its materials that is fit becomes
// fill. Above Fill there is a surplus, below it a shortage.
func (s *Site) Supply() (made Compacted) {
	for i := range s.Materials {
		m := &s.Materials[i]
		left := max(0, m.Dug-m.spreadInPlace())
		made += m.Factors.Compacted(Bank(float64(left) * m.Reuse))
	}
	return made
}

// spreadInPlace is what is to be put back as itself, in place. Where its compacted volume
// is not known, it counts as in bank measure.
func (m *Material) spreadInPlace() Bank {
	if m.CompactedPerBank == 0 {
		return Bank(m.Spread)
	}
	return m.BankOfCompacted(m.Spread)
}

// check refuses what cannot be; keys are those of a job file.
func (s *Site) check() error {
	names := map[string]bool{}
	for i := range s.Materials {
		m, key := &s.Materials[i], fmt.Sprintf("material[%d]", i)
		if m.Name == "" || names[m.Name] {
			return &tin.InputError{Code: codeMaterialName, Key: key + ".name", Message: fmt.Sprintf("two materials are named %q, or one has no name", m.Name),
				Hint: "give each a name of its own"}
		}
		names[m.Name] = true
		if err := m.check(key); err != nil {
			return err
		}
	}
	if err := notBelow(0, "fill", float64(s.Fill)); err != nil {
		return err
	}
	if err := notBelow(0, "unassigned", float64(s.Unassigned)); err != nil {
		return err
	}
	if s.Import != nil {
		if err := s.Import.check(); err != nil {
			return err
		}
	}
	for i := range s.Trucks {
		if k := slices.IndexFunc(s.Trucks, func(t Truck) bool { return t.Name == s.Trucks[i].Name }); k < i {
			return &tin.InputError{Code: codeTruckName, Key: fmt.Sprintf("truck[%d].name", i), Message: fmt.Sprintf("truck[%d] is named %q too", k, s.Trucks[i].Name),
				Hint: "give each a name of its own"}
		}
		if err := s.Trucks[i].check(fmt.Sprintf("truck[%d]", i)); err != nil {
			return err
		}
	}
	for i := range s.Machines {
		if k := slices.IndexFunc(s.Machines, func(m Machine) bool { return m.Name == s.Machines[i].Name }); k < i {
			return &tin.InputError{Code: codeMachineName, Key: fmt.Sprintf("machine[%d].name", i), Message: fmt.Sprintf("machine[%d] is named %q too", k, s.Machines[i].Name),
				Hint: "give each a name of its own"}
		}
		if err := s.Machines[i].check(fmt.Sprintf("machine[%d]", i), s.Trucks); err != nil {
			return err
		}
	}
	return s.checkCells()
}

func (m *Material) check(key string) error {
	if err := m.Factors.check(key); err != nil {
		return err
	}
	for _, v := range []struct {
		key   string
		value float64
	}{{"density", m.Density}, {"dug", float64(m.Dug)}, {"thickenings", float64(m.Thickenings)}, {"spread", float64(m.Spread)}, {"reuse", m.Reuse}} {
		if err := notBelow(0, key+"."+v.key, v.value); err != nil {
			return err
		}
	}
	if m.Reuse > 1 {
		return badAmount(key+".reuse", fmt.Sprintf("a share of %s is more than all of it", short(m.Reuse)), "give 0 to 1")
	}
	return nil
}

// check refuses factors that are known and cannot be.
func (f Factors) check(key string) error {
	if f.LoosePerBank != 0 {
		if err := CheckLoosePerBank(f.LoosePerBank); err != nil {
			return below(key, err)
		}
	}
	if f.CompactedPerBank != 0 {
		return below(key, CheckCompactedPerBank(f.CompactedPerBank))
	}
	return nil
}

func (m *Import) check() error {
	if err := m.Factors.check("import"); err != nil {
		return err
	}
	if err := notBelow(0, "import.density", m.Density); err != nil {
		return err
	}
	missing := func(key string) error {
		return &tin.InputError{Code: codeNoFactor, Key: "import." + key,
			Message: fmt.Sprintf("an import bought by %q needs %s", string(m.Measure), key), Hint: "add " + key + ", or buy it in another measure"}
	}
	switch {
	case !slices.Contains([]Measure{ByLoose, ByCompacted, ByTonnes}, m.Measure):
		return badAmount("import.measure", fmt.Sprintf("an import bought by %q", string(m.Measure)), `write "loose", "compacted" or "tonnes"`)
	case m.Measure != ByCompacted && m.CompactedPerBank == 0:
		return missing("compacted_per_bank")
	case m.Measure == ByLoose && m.LoosePerBank == 0:
		return missing("loose_per_bank")
	case m.Measure == ByTonnes && m.Density == 0:
		return missing("density")
	}
	return nil
}

// below puts a key before that of an error.
func below(key string, err error) error {
	if e, ok := err.(*tin.InputError); ok {
		placed := *e
		placed.Key = key + "." + e.Key
		return &placed
	}
	return err
}

// notBelow refuses what is no number, or below the least.
func notBelow(least float64, key string, x float64) error {
	if x >= least && !math.IsInf(x, 0) {
		return nil
	}
	return badAmount(key, fmt.Sprintf("%s is no amount", short(x)), fmt.Sprintf("give %s or more", short(least)))
}

// What a truck or a machine holds, carries, takes or is good for lies between these in
// any unit: beyond them a figure was hardly meant, and loads and trucks could not be counted.
const leastOfMachine, greatestOfMachine = 1e-3, 1e5

// ofMachine refuses what is no such number.
func ofMachine(key string, x float64) error {
	if x >= leastOfMachine && x <= greatestOfMachine {
		return nil
	}
	return badAmount(key, fmt.Sprintf("%g is outside of %g to %g", x, leastOfMachine, greatestOfMachine), "give a number above 0, in the unit that the key asks for")
}

func badAmount(key, message, hint string) error {
	return &tin.InputError{Code: codeBadAmount, Key: key, Message: message, Hint: hint}
}
