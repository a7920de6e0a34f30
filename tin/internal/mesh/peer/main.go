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
	"io"
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
	points, err := read(args[0])
	if err != nil {
		return err
	}
	name := strings.TrimSuffix(filepath.Base(args[0]), filepath.Ext(args[0]))
	points, whole := prepare(points)
	n := len(points)
	cpu, start := cpuSeconds(), time.Now()
	m, order, err := mesh.New(points, whole)
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
		if err := binary.Write(w, binary.LittleEndian, order[v]); err != nil {
			return err
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}

func read(name string) ([]mesh.XY, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	points := make([]mesh.XY, info.Size()/24)
	r := bufio.NewReaderSize(f, 1<<16)
	var record [24]byte
	for i := range points {
		if _, err := io.ReadFull(r, record[:]); err != nil {
			return nil, err
		}
		points[i].X = math.Float64frombits(binary.LittleEndian.Uint64(record[:8]))
		points[i].Y = math.Float64frombits(binary.LittleEndian.Uint64(record[8:16]))
	}
	return points, nil
}

// prepare counts in whole units where all coordinates are decimals of at most 4
// places on a site that is not too wide, as package tin does.
func prepare(points []mesh.XY) (_ []mesh.XY, whole bool) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	places := 3
	for _, p := range points {
		for places < 5 && (decimals(p.X, places) != p.X || decimals(p.Y, places) != p.Y) {
			places++
		}
		x0, x1, y0, y1 = min(x0, p.X), max(x1, p.X), min(y0, p.Y), max(y1, p.Y)
	}
	per := math.Pow10(places)
	if places > 4 || (max(x1-x0, y1-y0)+2)*per >= 1<<26 {
		return points, false
	}
	ox, oy := math.Floor(x0), math.Floor(y0)
	for i, p := range points {
		points[i] = mesh.XY{X: math.Round(p.X*per) - ox*per, Y: math.Round(p.Y*per) - oy*per}
	}
	return points, true
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
