package takeoff

import (
	"context"
	"io"
	"slices"

	"barrow/tin"
	"barrow/volume/price"
	"barrow/volume/takeoff/internal/tomltree"
)

// PricedResult is a job's quantities and the bill of them. Quantities are in Units and
// unrounded; amounts are whole minor units of the bill's currency. Its JSON form is the
// machine's result.
type PricedResult struct {
	Schema     int              `json:"schema"`
	Program    Program          `json:"program"`
	Job        string           `json:"job"`
	Units      Units            `json:"units"`
	Inputs     []Input          `json:"inputs"`
	Rates      string           `json:"rates"` // the file's name
	Scale      float64          `json:"scale"`
	Quantities []price.Quantity `json:"quantities"` // all that can be priced
	Bill       *price.Bill      `json:"bill"`
	// Uncertainty is how sure the totals are; nil: there are no works.
	Uncertainty *PriceUncertainty `json:"uncertainty,omitempty"`
	Notes       []Remark          `json:"notes"`    // of the bill
	Warnings    []Remark          `json:"warnings"` // those of the takeoff, then those of the bill
	NotMeasured []Omission        `json:"not_measured"`
}

// Price measures a job and prices its quantities by its rates. Errors are those of
// [Run] and of [price.NewBill]; a job without rates is one ("no_rates").
func Price(ctx context.Context, job *Job, opts Options) (*PricedResult, error) {
	if job.Rates == nil {
		return nil, badJob(codeNoRates, "rates", "the job has no rates to price it by", `name a file in the job, rates = "rates.csv"`)
	}
	r, err := Run(ctx, job, opts)
	if err != nil {
		return nil, err
	}
	return PriceResult(r, job.Rates)
}

// PriceResult prices the quantities of a result.
func PriceResult(r *Result, rates *price.Rates) (*PricedResult, error) {
	quantities := Quantities(r)
	bill, notes, warnings, err := price.NewBill(rates, quantities)
	if err != nil {
		return nil, err
	}
	sure, err := sureOfPrice(r, rates)
	if err != nil {
		return nil, err
	}
	out := &PricedResult{
		Schema: SchemaVersion, Program: r.Program, Job: r.Job, Units: r.Units, Scale: r.Scale,
		Inputs: append([]Input{}, r.Inputs...), Rates: rates.Name, Quantities: quantities, Bill: bill, Uncertainty: sure,
		Notes: remarksOf(notes), Warnings: append(append([]Remark{}, r.Warnings...), remarksOf(warnings)...),
		NotMeasured: slices.Concat(r.NotMeasured, notReckoned(r), notPriced()),
	}
	if rates.SHA256 != "" {
		out.Inputs = append(out.Inputs, inputOf(rates))
	}
	return out, nil
}

// remarksOf turns problems without a place into remarks.
func remarksOf(problems []tin.Problem) []Remark {
	out := []Remark{}
	for _, p := range problems {
		out = append(out, Remark{Code: p.Code, Message: p.Message})
	}
	return out
}

// notReckoned lists what of the materials is in no quantity for want of a factor.
func notReckoned(r *Result) (list []Omission) {
	for _, n := range r.Notes {
		if n.Code == NoteFactorNeeded {
			list = append(list, Omission{n.Code, n.Message})
		}
	}
	return list
}

// notPriced lists what is in no bill of quantities.
func notPriced() []Omission {
	return []Omission{
		noTaxes(),
		{"error_of_other_quantities", "the error of topsoil, areas and lengths, carried into money: only cut and fill are, with what hangs on them"},
	}
}

func noTaxes() Omission {
	return Omission{"taxes", "taxes and duties: the rates are taken as they stand"}
}

// inputOf is a file of rates among the files that were read.
func inputOf(r *price.Rates) Input { return Input{Path: r.Name, SHA256: r.SHA256} }

// measuredFrom lists the files that a job's figures come from: all but its rates, which
// only a bill uses.
func (j *Job) measuredFrom() []Input {
	list := append([]Input{}, j.Inputs...)
	if j.Rates == nil {
		return list
	}
	return slices.DeleteFunc(list, func(i Input) bool { return i == inputOf(j.Rates) })
}

// LoadRates reads a rates file. Errors are as those of [Load].
func LoadRates(ctx context.Context, f DataFile, limits Limits) (*price.Rates, error) {
	l := newLoader(ctx, f.FS, f.Name, newBudget(limits))
	rates := l.rates(&tomltree.Node{}, f.Name)
	if l.err != nil {
		return nil, l.err
	}
	return rates, nil
}

// rates reads the rates file of a name.
func (l *loader) rates(n *tomltree.Node, name string) (rates *price.Rates) {
	l.read(n, name, func(r io.Reader) (Input, error) {
		var err error
		rates, err = price.ReadRates(r, name)
		return Input{}, err
	})
	return rates
}
