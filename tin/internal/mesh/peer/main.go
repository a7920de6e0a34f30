// Command peer times the mesh on a file of little-endian float64 x, y, z, the
// form in which general-purpose triangulators are measured beside it. It prints
//
//	barrow WORKLOAD POINTS SECONDS PEAK_MIB
//
// on stdout and the processor time on stderr. With a second argument it writes
// the triangles there as little-endian int32 numbers of the points; with a third,
// the points as they were triangulated (each place once, decimals counted in
// whole units) go there, and the numbers are theirs.
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
	points, back := distinct(points)
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
	if len(args) > 2 { // judged on the coordinates that were triangulated
		for i := range back {
			back[i] = int32(i)
		}
		err := write(args[2], func(w io.Writer) error {
			for _, p := range points {
				if err := binary.Write(w, binary.LittleEndian, [3]float64{p.X, p.Y, 0}); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return write(args[1], func(w io.Writer) error {
		for _, v := range m.V {
			if err := binary.Write(w, binary.LittleEndian, back[order[v]]); err != nil {
				return err
			}
		}
		return nil
	})
}

func write(name string, content func(io.Writer) error) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	if err := content(w); err != nil {
		f.Close()
		return err
	}
	if err := w.Flush(); err != nil {
		f.Close()
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

// distinct drops points at the place of one before, and says which are left.
func distinct(points []mesh.XY) (kept []mesh.XY, back []int32) {
	size := 8
	for size < 2*len(points) {
		size *= 2
	}
	slots := make([]int32, size)
	for i, p := range points {
		h := (math.Float64bits(p.X+0)*0x9e3779b97f4a7c15 ^ math.Float64bits(p.Y+0)*0xc2b2ae3d27d4eb4f) >> 20
		for ; ; h++ {
			k := &slots[h&uint64(size-1)]
			if *k == 0 {
				points[len(back)] = p
				back = append(back, int32(i))
				*k = int32(len(back))
				break
			}
			if points[*k-1] == p {
				break
			}
		}
	}
	return points[:len(back)], back
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
