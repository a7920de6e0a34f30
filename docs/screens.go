//go:build ignore

// Command screens shows what report pages look like: docs/report-demo.png, the page of
// the demo's job, and docs/report-autzen.png, that of testdata/autzen-pad, in headless
// Chromium:
//
//	go run docs/screens.go
package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"log"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

func main() {
	for _, s := range []struct {
		folder, picture string
		high            int
	}{
		{"cmd/barrow/demo", "docs/report-demo.png", 3000},
		{"testdata/autzen-pad", "docs/report-autzen.png", 2300},
	} {
		if err := show(s.folder, s.picture, s.high); err != nil {
			log.Fatal(err)
		}
	}
}

// show draws the top of a job's page, so many pixels of it.
func show(folder, picture string, high int) error {
	ctx := context.Background()
	job, err := takeoff.Load(ctx, os.DirFS(folder), "job.toml", takeoff.DefaultLimits())
	if err != nil {
		return err
	}
	result, err := takeoff.Report(ctx, job, takeoff.ReportOptions{})
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if err := report.HTML(&page, result); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "screens")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "report.html")
	if err := os.WriteFile(path, page.Bytes(), 0o666); err != nil {
		return err
	}
	browser := "chromium-headless-shell"
	if _, err := exec.LookPath(browser); err != nil {
		browser = "chromium"
	}
	out, err := exec.CommandContext(ctx, browser, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
		fmt.Sprintf("--window-size=1100,%d", high), "--screenshot="+picture, "file://"+path).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w\n%s", browser, err, out)
	}
	return shrink(picture)
}

// shrink leaves a picture its most frequent colours, the nearest in place of each other.
func shrink(path string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	full, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return err
	}
	count := map[color.Color]int{}
	for y := range full.Bounds().Dy() {
		for x := range full.Bounds().Dx() {
			count[full.At(x, y)]++
		}
	}
	colours := slices.SortedFunc(maps.Keys(count), func(a, b color.Color) int {
		return cmp.Or(count[b]-count[a], cmp.Compare(fmt.Sprint(a), fmt.Sprint(b)))
	})
	few := image.NewPaletted(full.Bounds(), color.Palette(colours[:min(len(colours), 64)]))
	draw.Draw(few, few.Bounds(), full, image.Point{}, draw.Src)
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, few); err != nil {
		return err
	}
	return os.WriteFile(path, out.Bytes(), 0o666)
}
