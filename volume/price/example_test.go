package price_test

import (
	"fmt"
	"log"
	"strings"

	"barrow/volume/price"
)

// 200 m3 at 6.50, and to cart away a quarter more of it, loose, at 3.00.
func ExampleNewBill() {
	rates, err := price.ReadRates(strings.NewReader(`currency,EUR
contingency,5
item,quantity,unit,rate,factor,basis
Excavate,cut,m3 bank,6.50
Cart away,cut,m3 loose,3.00,1.25,loose per bank of this clay
`), "rates.csv")
	if err != nil {
		log.Fatal(err)
	}
	bank := price.Unit{Name: "m3", Measure: price.Bank}
	bill, _, _, err := price.NewBill(rates, []price.Quantity{{Key: "cut", Words: "cut, as dug", Unit: bank, Amount: 200, Work: "cut"}})
	if err != nil {
		log.Fatal(err)
	}
	for _, l := range bill.Groups[0].Lines {
		fmt.Printf("%-10s %v %v x %v = %s\n", l.Item, l.Billed, l.Unit, l.Rate, bill.Currency.Text(l.Amount))
	}
	fmt.Println("total with 5 % contingency", bill.Currency.Code, bill.Currency.Text(bill.Total))
	fmt.Println("one m3 more of cut makes it", bill.Slopes[0].Total/100, "more")
	// Output:
	// Excavate   200 m3 bank x 6.5 = 1300.00
	// Cart away  250 m3 loose x 3 = 750.00
	// total with 5 % contingency EUR 2152.50
	// one m3 more of cut makes it 10.7625 more
}
