// Command peer makes LAS files of a size to measure with, and reads them, so that
// a claim of speed or memory comes from a file that other readers are given too.
//
//	peer make FILE POINTS FORMAT        a made-up scan, three in four points ground
//	peer read FILE [CELL lowest|nearest]
//
// Reading prints
//
//	barrow FILE POINTS KEPT SECONDS
package main

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"time"

	"barrow/tin/las"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "peer:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 4 && args[0] == "make":
		points, err := strconv.ParseUint(args[2], 10, 32)
		if err != nil {
			return err
		}
		format, err := strconv.ParseUint(args[3], 10, 8)
		if err != nil {
			return err
		}
		return makeFile(args[1], uint32(points), uint8(format))
	case len(args) == 2 && args[0] == "read":
		return read(args[1], nil)
	case len(args) == 4 && args[0] == "read":
		cell, err := strconv.ParseFloat(args[2], 64)
		if err != nil {
			return err
		}
		keep, ok := map[string]las.Keep{"lowest": las.KeepLowest, "nearest": las.KeepNearest}[args[3]]
		if !ok {
			return fmt.Errorf("keep lowest or nearest, not %q", args[3])
		}
		return read(args[1], &las.Thinning{Cell: cell, Keep: keep})
	}
	return fmt.Errorf("make FILE POINTS FORMAT, or read FILE [CELL lowest|nearest]")
}

func read(name string, thin *las.Thinning) error {
	r, err := os.Open(name)
	if err != nil {
		return err
	}
	defer r.Close()
	start := time.Now()
	f, err := las.Read(context.Background(), r, name, las.Options{Thin: thin})
	if err != nil {
		return err
	}
	fmt.Printf("barrow %s %d %d %.3f\n", name, f.Counts.Points, f.Counts.Kept, time.Since(start).Seconds())
	return nil
}

// The made-up scan: lines of lineLength points, 0.25 m apart, every 0.5 m.
const lineLength = 8000

// head is what a record of each format has: the file's minor version, the sizes of
// header and record, and where the class stands. It is a table, never written to.
var head = map[uint8]struct{ minor, header, record, class int }{
	0: {2, 227, 20, 15}, 1: {2, 227, 28, 15}, 3: {2, 227, 34, 15}, 6: {4, 375, 30, 16},
}

func makeFile(name string, points uint32, format uint8) error {
	h, ok := head[format]
	if !ok {
		return fmt.Errorf("formats 0, 1, 3 and 6 are made, not %d", format)
	}
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	defer f.Close()
	w := bufio.NewWriterSize(f, 1<<20)
	le := binary.LittleEndian
	b := make([]byte, h.header)
	copy(b, "LASF")
	b[24], b[25], b[104] = 1, byte(h.minor), format
	le.PutUint16(b[94:], uint16(h.header))
	le.PutUint32(b[96:], uint32(h.header))
	le.PutUint16(b[105:], uint16(h.record))
	if h.minor == 2 {
		le.PutUint32(b[107:], points)
		le.PutUint32(b[111:], points)
	} else {
		le.PutUint64(b[247:], uint64(points))
		le.PutUint64(b[255:], uint64(points))
	}
	for i, offset := range []float64{500000, 4200000, 0} {
		le.PutUint64(b[131+8*i:], math.Float64bits(0.001))
		le.PutUint64(b[155+8*i:], math.Float64bits(offset))
	}
	for i, most := range []float64{502000, 4200000 + 0.5*float64(points/lineLength+1), 65} {
		le.PutUint64(b[179+16*i:], math.Float64bits(most))
		le.PutUint64(b[187+16*i:], math.Float64bits([]float64{500000, 4200000, 60}[i]))
	}
	if _, err := w.Write(b); err != nil {
		return err
	}
	if err := makePoints(w, points, h.record, h.class); err != nil {
		return err
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}

func makePoints(w io.Writer, points uint32, length, class int) error {
	rng := rand.New(rand.NewPCG(1, 2))
	le := binary.LittleEndian
	b := make([]byte, length)
	for i := range points {
		r := rng.Uint64()
		le.PutUint32(b, 250*(i%lineLength)+uint32(r%100))
		le.PutUint32(b[4:], 500*(i/lineLength)+uint32(r>>16%100))
		le.PutUint32(b[8:], 60000+uint32(r>>32%5000))
		b[14], b[class] = 9, 2
		if class == 16 {
			b[14] = 17
		}
		if r>>62 == 0 {
			b[class] = 1
		}
		if _, err := w.Write(b); err != nil {
			return err
		}
	}
	return nil
}
