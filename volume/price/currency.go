package price

import (
	"fmt"
	"slices"
	"strings"
)

// Currency is a currency of ISO 4217.
type Currency struct {
	Code   string `json:"code"`
	Digits int32  `json:"minor_digits"` // decimals of its minor unit
}

// Codes and digits are of ISO 4217, list one, published 2024-06-25, with XCG from
// memory. Precious metals, bond units and other codes without a minor unit are left
// out, but XTS, which is there for tests and has two digits here.
const (
	currencies0 = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
	currencies2 = "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BOV BRL BSD BTN BWP BYN BZD " +
		"CAD CDF CHE CHF CHW CNY COP COU CRC CUC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP " +
		"GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA " +
		"MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON " +
		"RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH " +
		"USD USN UYU UZS VED VES WST XCD XCG XTS YER ZAR ZMW ZWG"
	currencies3 = "BHD IQD JOD KWD LYD OMR TND"
	currencies4 = "CLF UYW"
)

// ParseCurrency reads an ISO 4217 code, in capitals or not.
func ParseCurrency(text string) (Currency, error) {
	upper := strings.ToUpper(text)
	for digits, list := range []string{0: currencies0, 2: currencies2, 3: currencies3, 4: currencies4} {
		if slices.Contains(strings.Fields(list), upper) {
			return Currency{upper, int32(digits)}, nil
		}
	}
	return Currency{}, fmt.Errorf("price: %q is not the ISO 4217 code of a currency with a minor unit", text)
}

// Text writes an amount in minor units with the decimals of the currency: "1234.50".
func (c Currency) Text(minor int64) string { return fromMinor(minor, c).StringFixed(c.Digits) }
