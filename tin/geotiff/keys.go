package geotiff

import (
	"fmt"
	"strings"

	"barrow/tin"
)

// The geo keys that are read (OGC 19-008r4, annex B).
const (
	keyModel        = 1024
	keyRaster       = 1025
	keyCitation     = 1026
	keyPlan         = 3072
	keyUnit         = 3076
	keyUnitSize     = 3077
	keyVertical     = 4096
	keyVerticalUnit = 4099

	userDefined = 32767

	modelProjected  = 1
	modelGeographic = 2
	modelGeocentric = 3

	rasterArea  = 1
	rasterPoint = 2
)

// keys are the geo keys of an image.
type keys struct {
	d     *directory
	short map[int]int     // values that are codes
	real  map[int]float64 // values that are numbers
	text  map[int]string
}

// keys reads the directory of geo keys. None at all is no error.
func (d *directory) keys() (*keys, error) {
	k := &keys{d, map[int]int{}, map[int]float64{}, map[int]string{}}
	e, ok := d.entries[tagKeys]
	if !ok {
		return k, nil
	}
	bad := func(what string) error {
		return d.fail("bad_keys", show(tagKeys)+" "+what, "export the raster again")
	}
	if e.kind != kindShort || e.count < 4 {
		return nil, bad("is too short")
	}
	at := func(i int) int { v, _ := d.at(e, i); return int(v) }
	if at(0) != 1 || at(1) != 1 {
		return nil, bad(fmt.Sprintf("is of version %d.%d, and 1.1 is read", at(0), at(1)))
	}
	if e.count < 4+4*at(3) {
		return nil, bad(fmt.Sprintf("announces %d keys in %d numbers", at(3), e.count))
	}
	numbers, err := d.doubles(tagKeyDoubles)
	if err != nil {
		return nil, err
	}
	texts := d.entries[tagKeyTexts].data
	for i := 4; i < 4+4*at(3); i += 4 {
		key, where, count, value := at(i), at(i+1), at(i+2), at(i+3)
		switch {
		case where == 0:
			k.short[key] = value
		case where == tagKeyDoubles && value < len(numbers):
			k.real[key] = numbers[value]
		case where == tagKeyTexts && value+count <= len(texts):
			k.text[key] = strings.Trim(string(texts[value:value+count]), "| \x00")
		case where == tagKeyDoubles, where == tagKeyTexts:
			return nil, bad(fmt.Sprintf("says that key %d is where nothing is", key))
		}
	}
	return k, nil
}

// unit returns the unit that a key gives; 0 if it gives none.
func (k *keys) unit(key int, what string) (tin.Unit, error) {
	code := k.short[key]
	if code == 0 {
		return 0, nil
	}
	u, ok := tin.UnitOfEPSG(code)
	if key == keyUnit && code == userDefined {
		u, ok = tin.UnitOfMetres(k.real[keyUnitSize])
	}
	if ok {
		return u, nil
	}
	return 0, k.d.fail("unknown_unit", fmt.Sprintf("the unit of %s is code %d, which is not known", what, code), "export the raster in metres or feet")
}
