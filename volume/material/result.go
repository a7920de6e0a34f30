package material

// Result is what becomes of what is dug. Volumes are in the unit of the [Site], their
// measure is that of their type; masses are tonnes. What could not be reckoned since a
// factor was not given is left out, and Needs says which.
type Result struct {
	Materials  []MaterialResult `json:"materials"`            // in the order of the site
	Unassigned Bank             `json:"unassigned,omitempty"` // dug, of no material

	Fill         Compacted  `json:"fill"`                     // to be filled, backfill too
	FillFromSite *Compacted `json:"fill_from_site,omitempty"` // of it, made of what is dug
	Surplus      *Bank      `json:"surplus,omitempty"`        // fit for fill, and not needed
	Short        *Compacted `json:"short,omitempty"`          // of the fill, not to be had on site

	Spoil       *Bank    `json:"spoil,omitempty"` // leaves the site: the surplus, and what is not fit for fill
	SpoilLoose  *Loose   `json:"spoil_loose,omitempty"`
	SpoilTonnes *float64 `json:"spoil_tonnes,omitempty"`

	Import   *ImportResult   `json:"import,omitempty"`   // nil: none needed, or none given
	Trucks   []TruckResult   `json:"trucks,omitempty"`   // each for all of it
	Machines []MachineResult `json:"machines,omitempty"` // each for all of its work
	Haul     *HaulPlan       `json:"haul,omitempty"`     // on site; nil: nothing to haul, or no cells

	Needs []Need `json:"needs,omitempty"`
}

// MaterialResult is what becomes of a material.
type MaterialResult struct {
	Name             string  `json:"name"`
	Topsoil          bool    `json:"topsoil,omitempty"`
	LoosePerBank     float64 `json:"loose_per_bank,omitempty"`
	CompactedPerBank float64 `json:"compacted_per_bank,omitempty"`
	FactorsFrom      string  `json:"factors_from,omitempty"` // of factors that nobody gave
	Density          float64 `json:"density,omitempty"`      // tonnes in one bank volume
	Reuse            float64 `json:"reuse"`                  // the share that may become fill

	Dug         Bank      `json:"dug"`
	Thickenings Bank      `json:"thickenings,omitempty"` // of Dug: what is dug below the formation
	Loose       Loose     `json:"loose,omitempty"`       // all of it, dug
	Compacted   Compacted `json:"compacted,omitempty"`   // all of it, were it placed and rolled
	Tonnes      float64   `json:"tonnes,omitempty"`

	Spread      Bank      `json:"spread,omitempty"`       // of it, put back as itself
	SpreadShort Compacted `json:"spread_short,omitempty"` // of what is to be put back, not to be had
	ToFill      *Bank     `json:"to_fill,omitempty"`      // of it, becomes fill
	Fill        Compacted `json:"fill,omitempty"`         // that this makes
	Spoil       *Bank     `json:"spoil,omitempty"`        // of it, leaves the site
	SpoilLoose  Loose     `json:"spoil_loose,omitempty"`
	SpoilTonnes float64   `json:"spoil_tonnes,omitempty"`
}

// ImportResult is what is bought.
type ImportResult struct {
	Name      string    `json:"name,omitempty"`
	Measure   Measure   `json:"measure"`
	Amount    float64   `json:"amount"`    // in its measure: a volume, or tonnes
	Compacted Compacted `json:"compacted"` // that it makes
	Loose     Loose     `json:"loose,omitempty"`
	Tonnes    float64   `json:"tonnes,omitempty"`
}

// TruckResult is the loads of one truck, if it carries all there is: an alternative to
// those of the others.
type TruckResult struct {
	Name      string  `json:"name"`
	Body      Loose   `json:"body"`
	Payload   float64 `json:"payload,omitempty"` // tonnes
	Materials []Loads `json:"materials"`         // of the spoil
	Loads     int     `json:"loads"`             // of these: materials are not mixed in a load
	Import    *Loads  `json:"import,omitempty"`

	Without []string `json:"without,omitempty"` // materials that leave the site, and are in no load for want of a factor
}

// Loads is how many loads a material makes.
type Loads struct {
	Material  string  `json:"material"`
	Loose     Loose   `json:"loose"`
	Loads     int     `json:"loads"`
	Load      Loose   `json:"load"` // volume of a full one
	Governs   Governs `json:"governs"`
	Unweighed bool    `json:"unweighed,omitempty"` // a payload was given, and no density to hold against it
}

// MachineResult is the hours of a machine.
type MachineResult struct {
	Name   string  `json:"name"`
	Work   Work    `json:"work"`
	Rate   Loose   `json:"rate"` // by its bucket, loose an hour
	Loose  Loose   `json:"loose"`
	Hours  float64 `json:"hours"`
	Days   float64 `json:"days,omitempty"` // of PerDay hours
	PerDay float64 `json:"hours_per_day,omitempty"`
	Truck  string  `json:"truck,omitempty"`

	Materials []MachineHours `json:"materials"`
	Without   []string       `json:"without,omitempty"` // materials of its work that are in no hour for want of a factor
}

// MachineHours is the hours of a machine in one material.
type MachineHours struct {
	Material string  `json:"material"`
	Loose    Loose   `json:"loose"`
	Rate     Loose   `json:"rate"` // loose an hour, trucks too
	Hours    float64 `json:"hours"`
	Governs  Governs `json:"governs"`
	Trucks   int     `json:"trucks,omitempty"`
	Balance  float64 `json:"balance,omitempty"` // trucks that keep it just busy
}

// Need is a factor that was not given, and what could not be reckoned for want of it.
type Need struct {
	Material string `json:"material"`
	Key      string `json:"key"`
	For      string `json:"for"`
}
