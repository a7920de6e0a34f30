package material

import (
	"fmt"
	"math"
	"slices"

	"barrow/tin"
)

// Machine digs or loads by the bucket.
type Machine struct {
	Name         string
	Bucket       Loose   // what the bucket holds
	FillFactor   float64 // how full it is on average; 1: just full
	CycleSeconds float64 // from one bucket to the next
	Efficiency   float64 // the share of an hour in which it works, 0 to 1
	HoursPerDay  float64 // 0: days are not reckoned
	Work         Work
	Truck        string // name of the truck it loads; empty: none
	Trucks       int    // of those; 0: as many as keep the machine busy
}

// Work is what a machine does on the site.
type Work string

// What a machine may do.
const (
	DigsCut     Work = "cut"     // all that is dug but the topsoil
	DigsTopsoil Work = "topsoil" // all of the topsoil
	LoadsSpoil  Work = "spoil"   // all that leaves the site
)

// Rate returns the loose volume that the bucket moves in an hour:
//
//	bucket x fill factor x 3600 / cycle x efficiency
//
// with the cycle in seconds. Common practice, no source of weight.
func (m Machine) Rate() Loose {
	return Loose(float64(m.Bucket) * m.FillFactor * 3600 / m.CycleSeconds * m.Efficiency)
}

// Fleet is a loader and the trucks it fills. Rates are per hour, in the same measure.
type Fleet struct {
	LoaderRate float64
	TruckRate  float64 // of one truck that never waits
	Trucks     int
}

// FleetOf returns the fleet of a machine and trucks with one load each.
func FleetOf(m Machine, t Truck, load Loose) Fleet {
	return Fleet{LoaderRate: float64(m.Rate()), TruckRate: float64(load) * 60 / t.CycleMinutes, Trucks: m.Trucks}
}

// Balance returns how many trucks keep the loader just busy: the cycle of a truck over
// the time in which the loader fills it. One fewer whole truck and the loader waits,
// one more and a truck does.
func (f Fleet) Balance() float64 { return over(f.LoaderRate, f.TruckRate) }

// Rate returns what the fleet moves in an hour, the least of its trucks' and its
// loader's rate, and which of the two governs.
func (f Fleet) Rate() (float64, Governs) {
	if trucks := float64(f.Trucks) * f.TruckRate; trucks < f.LoaderRate {
		return trucks, ByTrucks
	}
	return f.LoaderRate, ByMachine
}

func (m *Machine) check(key string, trucks []Truck) error {
	for _, v := range []struct {
		key   string
		value float64
	}{{"bucket", float64(m.Bucket)}, {"fill_factor", m.FillFactor}, {"cycle", m.CycleSeconds}, {"efficiency", m.Efficiency}} {
		if err := ofMachine(key+"."+v.key, v.value); err != nil {
			return err
		}
	}
	switch {
	case m.FillFactor > 1.5:
		return badAmount(key+".fill_factor", fmt.Sprintf("a fill factor of %s", short(m.FillFactor)), "it is a share of the bucket, such as 0.9: no more than 1.5")
	case m.Efficiency > 1:
		return badAmount(key+".efficiency", fmt.Sprintf("an efficiency of %s", short(m.Efficiency)), "it is the share of an hour in which the machine works, such as 0.83: no more than 1")
	case m.HoursPerDay < 0 || m.HoursPerDay > 24 || math.IsNaN(m.HoursPerDay):
		return badAmount(key+".hours_per_day", fmt.Sprintf("a day of %s hours", short(m.HoursPerDay)), "give 0 to 24")
	case m.Trucks < 0:
		return badAmount(key+".trucks", fmt.Sprintf("%d trucks", m.Trucks), "give 1 or more, or leave it out")
	case !slices.Contains([]Work{DigsCut, DigsTopsoil, LoadsSpoil}, m.Work):
		return badAmount(key+".work", fmt.Sprintf("work %q", string(m.Work)), `write "cut", "topsoil" or "spoil"`)
	case m.Truck == "" && m.Trucks > 0:
		return badAmount(key+".trucks", "trucks without saying which", "name one with truck")
	case m.Truck == "":
		return nil
	}
	t := slices.IndexFunc(trucks, func(t Truck) bool { return t.Name == m.Truck })
	if t < 0 {
		return &tin.InputError{Code: codeUnknownTruck, Key: key + ".truck", Message: fmt.Sprintf("no truck is named %q", m.Truck), Hint: "name one of the job's trucks"}
	}
	if trucks[t].CycleMinutes == 0 {
		return badAmount(fmt.Sprintf("truck[%d].cycle", t), "the truck that a machine loads has no cycle", "add its cycle, from one load to the next")
	}
	return nil
}
