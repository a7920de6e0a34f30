package price_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/price"
)

// Digits of the minor unit, from ISO 4217 list one of 2024-06-25.
func TestCurrencies(t *testing.T) {
	for code, digits := range map[string]int32{
		"JPY": 0, "KRW": 0, "ISK": 0, "UYI": 0, "CLP": 0, "EUR": 2, "USD": 2, "INR": 2, "CNY": 2, "NGN": 2, "AUD": 2, "GBP": 2, "brl": 2,
		"BHD": 3, "IQD": 3, "KWD": 3, "TND": 3, "CLF": 4, "UYW": 4, "XTS": 2,
	} {
		c, err := price.ParseCurrency(code)
		require.NoError(t, err)
		assert.Equal(t, digits, c.Digits, code)
	}
	for _, code := range []string{"", "EURO", "XXX", "XAU", "ABC", "EUR USD", "R "} {
		_, err := price.ParseCurrency(code)
		assert.Error(t, err, code)
	}
	for c, want := range map[price.Currency]string{{Code: "JPY"}: "1234567", {Code: "EUR", Digits: 2}: "12345.67", {Code: "KWD", Digits: 3}: "1234.567"} {
		assert.Equal(t, want, c.Text(1234567))
	}
	assert.Equal(t, "0.05", price.Currency{Code: "EUR", Digits: 2}.Text(5))
}

func TestUnits(t *testing.T) {
	for text, want := range map[string]string{
		"m": "m", " m2 ": "m2", "m³  bank": "m3 bank", "yd3 loose": "yd3 loose", "m3": "m3", "ftUS2": "ftUS2", "t": "t", "load": "load", "h": "h", "sum": "sum",
	} {
		u, err := price.ParseUnit(text)
		require.NoError(t, err)
		assert.Equal(t, want, u.String())
		b, err := u.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, want, string(b))
	}
	for _, text := range []string{"", "M3 bank", "bank", "m3 bank loose", "m2 bank", "m3 solid", "kg"} {
		_, err := price.ParseUnit(text)
		assert.Error(t, err, text)
	}
}
