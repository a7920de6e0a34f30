package geotiff

import (
	"encoding/binary"
	"fmt"
	"math"
)

// samples says how a row of samples is stored.
type samples struct {
	order     binary.ByteOrder
	size      int    // bytes of a sample
	format    uint64 // unsigned, signed, floating
	predictor uint64
	stride    int // samples from one of the first band to its next
}

// readSamples reads what the samples of an image are.
func (d *directory) readSamples(l *layout) error {
	bits, err := d.equal(tagBits, 1)
	if err != nil {
		return err
	}
	format, err := d.equal(tagFormat, formatUnsigned)
	if err != nil {
		return err
	}
	predictor, err := d.number(tagPredictor, predictorNone)
	if err != nil {
		return err
	}
	s := &l.samples
	s.order, s.size, s.format, s.predictor = d.order, int(bits/8), format, predictor
	ok := false
	switch format {
	case formatUnsigned, formatSigned:
		ok = bits == 8 || bits == 16 || bits == 32
	case formatFloating:
		ok = bits == 32 || bits == 64
	}
	if !ok {
		return d.fail("unsupported", fmt.Sprintf("samples of %d bits in format %d are not read", bits, format),
			"export the levels as integers of 8, 16 or 32 bits, or as floating point of 32 or 64 bits")
	}
	if predictor < predictorNone || predictor > predictorFloating || predictor == predictorFloating && format != formatFloating {
		return d.fail("unsupported", fmt.Sprintf("predictor %d is not read for samples in format %d", predictor, format), "export the raster again")
	}
	return nil
}

// row turns the bytes of a row into levels of its first band. It works within
// raw, and may read less than all of it.
func (s *samples) row(levels []float64, raw []byte) {
	if s.predictor == predictorFloating {
		s.planes(levels, raw)
		return
	}
	var sum uint64 // modulo 2^64, and so modulo 2 to the sample's bits
	for i := range levels {
		bits := s.bits(raw[i*s.stride*s.size:])
		if s.predictor == predictorNumbers {
			sum += bits
			bits = sum
		}
		levels[i] = s.value(bits)
	}
}

// planes undoes predictor 3 (TIFF technical note 3): each byte is the difference
// from the byte of the same band before it, and a row holds first the most
// significant bytes of all samples, then the next ones.
func (s *samples) planes(levels []float64, raw []byte) {
	for i := s.stride; i < len(raw); i++ {
		raw[i] += raw[i-s.stride]
	}
	plane := len(raw) / s.size
	for i := range levels {
		var bits uint64
		for k := range s.size {
			bits = bits<<8 | uint64(raw[k*plane+i*s.stride])
		}
		levels[i] = s.value(bits)
	}
}

// bits returns a sample as stored.
func (s *samples) bits(b []byte) uint64 {
	switch s.size {
	case 1:
		return uint64(b[0])
	case 2:
		return uint64(s.order.Uint16(b))
	case 4:
		return uint64(s.order.Uint32(b))
	}
	return s.order.Uint64(b)
}

// value returns the level of the low bits of a sample.
func (s *samples) value(bits uint64) float64 {
	switch {
	case s.format == formatFloating && s.size == 4:
		return float64(math.Float32frombits(uint32(bits)))
	case s.format == formatFloating:
		return math.Float64frombits(bits)
	case s.format == formatSigned:
		shift := 64 - 8*s.size
		return float64(int64(bits<<shift) >> shift)
	}
	return float64(bits & (1<<(8*s.size) - 1))
}
