// Command peer times the mesh on a file of little-endian float64 x, y, z, the
// form in which general-purpose triangulators are measured beside it. It prints
//
//	barrow WORKLOAD POINTS SECONDS PEAK_MIB
//
// on stdout and the processor time on stderr. With a second argument it writes
// the triangles there as little-endian int32 numbers of the points.
package main

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"barrow/tin/internal/mesh"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "peer:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("give a file of float64 x, y, z")
	}
	x, y, err := read(args[0])
	if err != nil {
		return err
	}
	name := strings.TrimSuffix(filepath.Base(args[0]), filepath.Ext(args[0]))
	x, y, whole, back := prepare(x, y)
	n := len(back)
	cpu, start := cpuSeconds(), time.Now()
	m, order, err := mesh.New(x, y, whole)
	if err != nil {
		return err
	}
	if err := m.Check(); err != nil {
		return err
	}
	wall := time.Since(start).Seconds()
	cpu = cpuSeconds() - cpu
	fmt.Printf("barrow %s %d %.3f %.0f\n", name, n, wall, peakMiB())
	fmt.Fprintf(os.Stderr, "# barrow %s %d cpu %.3f triangles %d\n", name, n, cpu, m.Triangles())
	if len(args) < 2 {
		return nil
	}
	f, err := os.Create(args[1])
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	for _, v := range m.V {
		if err := binary.Write(w, binary.LittleEndian, back[order[v]]); err != nil {
			return err
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}

func read(name string) (x, y []float64, err error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, nil, err
	}
	for i := 0; i+24 <= len(data); i += 24 {
		x = append(x, math.Float64frombits(binary.LittleEndian.Uint64(data[i:])))
		y = append(y, math.Float64frombits(binary.LittleEndian.Uint64(data[i+8:])))
	}
	return x, y, nil
}

// prepare drops repeated places and, where all coordinates are decimals of at
// most 4 places on a site that is not too wide, counts in whole units, as
// package tin does.
func prepare(x, y []float64) (px, py []float64, whole bool, back []int32) {
	seen := make(map[[2]float64]bool, len(x))
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	places := 0
	for i := range x {
		for places < 5 && (decimals(x[i], places) != x[i] || decimals(y[i], places) != y[i]) {
			places++
		}
		x0, x1, y0, y1 = min(x0, x[i]), max(x1, x[i]), min(y0, y[i]), max(y1, y[i])
		if p := [2]float64{x[i], y[i]}; !seen[p] {
			seen[p] = true
			px, py, back = append(px, x[i]), append(py, y[i]), append(back, int32(i))
		}
	}
	per := math.Pow10(max(places, 3))
	if places > 4 || (max(x1-x0, y1-y0)+2)*per >= 1<<26 {
		return px, py, false, back
	}
	ox, oy := math.Floor(x0), math.Floor(y0)
	for i := range px {
		px[i] = math.Round(px[i]*per) - ox*per
		py[i] = math.Round(py[i]*per) - oy*per
	}
	return px, py, true, back
}

func decimals(v float64, places int) float64 {
	p := math.Pow10(places)
	return math.Round(v*p) / p
}

func cpuSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	s := func(t syscall.Timeval) float64 { return float64(t.Sec) + float64(t.Usec)/1e6 }
	return s(u.Utime) + s(u.Stime)
}

// peakMiB returns the largest resident set of the process.
func peakMiB() float64 {
	data, _ := os.ReadFile("/proc/self/status")
	for line := range strings.Lines(string(data)) {
		var kib float64
		if n, _ := fmt.Sscanf(line, "VmHWM: %f kB", &kib); n == 1 {
			return kib / 1024
		}
	}
	return 0
}
