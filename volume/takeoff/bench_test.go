package takeoff_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"barrow/volume/takeoff"
)

// benchPoints is a point file of n spots about 5 m apart, and the width of the site.
func benchPoints(n int, seed uint64) (file []byte, side float64) {
	r := rand.New(rand.NewPCG(seed, uint64(n)))
	side = math.Sqrt(float64(n)) * 5
	var points bytes.Buffer
	points.WriteString("number,easting,northing,level\n")
	for i := range n {
		e, n := side*r.Float64(), side*r.Float64()
		fmt.Fprintf(&points, "%d,%.3f,%.3f,%.3f\n", i, 312000+e, 5812000+n, 60+math.Sin(e/40)+math.Cos(n/30))
	}
	return points.Bytes(), side
}

// BenchmarkCompare is a whole comparison from files in memory, of two surveys whose
// places are unlike.
func BenchmarkCompare(b *testing.B) {
	for _, n := range []int{1e3, 1e4, 1e5} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			before, _ := benchPoints(n, 1)
			after, _ := benchPoints(n, 2)
			files := fstest.MapFS{"a.csv": {Data: before}, "b.csv": {Data: after}}
			b.ReportAllocs()
			for b.Loop() {
				c, err := takeoff.LoadComparison(b.Context(), takeoff.ComparisonFiles{Units: "m", Duplicates: "mean",
					A: takeoff.DataFile{FS: files, Name: "a.csv"}, B: takeoff.DataFile{FS: files, Name: "b.csv"}}, takeoff.Limits{})
				if err != nil {
					b.Fatal(err)
				}
				if _, err := takeoff.Compare(b.Context(), c, takeoff.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// benchJob reads a job of n spots from files in memory: a pad that takes a quarter of the
// survey's area.
func benchJob(b *testing.B, points []byte, side float64) *takeoff.Job {
	b.Helper()
	files := fstest.MapFS{
		"ground.csv": {Data: points},
		"job.toml": {Data: fmt.Appendf(nil, "units = \"m\"\n[[survey]]\npoints = \"ground.csv\"\n[ground]\nduplicates = \"mean\"\n"+
			"[[pad]]\nname = \"a\"\nfinished = 60.2\noutline = { corner = [%g, %g], bearing = 0, length = %g, width = %g }\n",
			312000+side/4, 5812000+side/4, side/2, side/2)},
	}
	job, err := takeoff.Load(b.Context(), files, "job.toml", takeoff.Limits{})
	if err != nil {
		b.Fatal(err)
	}
	return job
}

// BenchmarkTakeoff is a whole takeoff from files in memory: reading, ground, volumes and
// checks.
func BenchmarkTakeoff(b *testing.B) {
	for _, n := range []int{1e3, 1e4, 1e5, 1e6} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			points, side := benchPoints(n, 1)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := takeoff.Run(b.Context(), benchJob(b, points, side), takeoff.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkReport is the same job, and all that a report of it shows.
func BenchmarkReport(b *testing.B) {
	for _, n := range []int{1e3, 1e4, 1e5, 1e6} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			points, side := benchPoints(n, 1)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := takeoff.Report(b.Context(), benchJob(b, points, side), takeoff.ReportOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkSurfaces is the ground and the works of a takeoff as surfaces of triangles, the
// takeoff with it: a pad with batters over a quarter of the survey, and topsoil.
func BenchmarkSurfaces(b *testing.B) {
	for _, n := range []int{1e3, 1e4, 1e5} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			points, side := benchPoints(n, 1)
			job, err := takeoff.Load(b.Context(), fstest.MapFS{
				"ground.csv": {Data: points},
				"job.toml": {Data: fmt.Appendf(nil, "units = \"m\"\n[[survey]]\npoints = \"ground.csv\"\n[ground]\nduplicates = \"mean\"\n"+
					"topsoil = { depth = 0.2, beyond = 1 }\n[[pad]]\nname = \"a\"\nfinished = 60.2\nbatter = { cut = \"1V:1H\", fill = \"1V:2H\" }\n"+
					"outline = { corner = [%g, %g], bearing = 0, length = %g, width = %g }\n",
					312000+side/4, 5812000+side/4, side/2, side/2)},
			}, "job.toml", takeoff.Limits{})
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := takeoff.Surfaces(b.Context(), job, takeoff.SurfacesOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
