//go:build ignore

// Command picture draws the plan of the demo's works as docs/demo.svg:
//
//	go run docs/picture.go
package main

import (
	"bytes"
	"context"
	"log"
	"os"

	"barrow/volume/report"
	"barrow/volume/takeoff"
)

func main() {
	if err := run(); err != nil {
		log.Fatal(err)
	}
}

func run() error {
	ctx := context.Background()
	job, err := takeoff.Load(ctx, os.DirFS("cmd/barrow/demo"), "job.toml", takeoff.DefaultLimits())
	if err != nil {
		return err
	}
	result, err := takeoff.Run(ctx, job, takeoff.Options{Plan: &takeoff.PlanOptions{}})
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := report.PlanSVG(&out, result); err != nil {
		return err
	}
	return os.WriteFile("docs/demo.svg", out.Bytes(), 0o644)
}
