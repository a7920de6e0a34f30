package takeoff

import (
	"fmt"
	"math"

	"barrow/tin"
)

// Limits bound what [Load] reads, so that a server can run jobs of strangers.
// They hold for the whole job, and are looked at before memory is taken. A
// zero counts as that of [DefaultLimits].
type Limits struct {
	JobBytes int64 // size of the job file itself
	Bytes    int64 // of all files together
	Points   int   // spot heights of all surveys together
	Vertices int   // vertices of outlines, lines, boundary and voids, spots of pads and listed chainages, together
}

// DefaultLimits are generous for a desk: no real job comes near them.
func DefaultLimits() Limits {
	return Limits{JobBytes: 1 << 20, Bytes: 4 << 30, Points: 50_000_000, Vertices: 1_000_000}
}

// Codes of the errors when a limit is passed.
const (
	codeTooManyBytes    = "too_many_bytes"
	codeTooManyPoints   = "too_many_points"
	codeTooManyVertices = "too_many_vertices"
)

func (l Limits) orDefault() Limits {
	d := DefaultLimits()
	if l.JobBytes == 0 {
		l.JobBytes = d.JobBytes
	}
	if l.Bytes == 0 {
		l.Bytes = d.Bytes
	}
	if l.Points == 0 {
		l.Points = d.Points
	}
	if l.Vertices == 0 {
		l.Vertices = d.Vertices
	}
	// So large that it is none, and still can be counted with.
	l.JobBytes, l.Bytes = min(l.JobBytes, 1<<40), min(l.Bytes, 1<<50)
	l.Points, l.Vertices = min(l.Points, math.MaxInt/4), min(l.Vertices, math.MaxInt/4)
	return l
}

// budget is what is left of the limits while a job is read.
type budget struct {
	limits Limits
	left   Limits
}

func newBudget(l Limits) *budget {
	l = l.orDefault()
	return &budget{limits: l, left: l}
}

// bytes takes n bytes for the file at path.
func (b *budget) bytes(path string, n int64) error {
	if b.left.Bytes -= n; b.left.Bytes >= 0 {
		return nil
	}
	return overLimit(codeTooManyBytes, path, "the job is larger than the limit of %d bytes", b.limits.Bytes)
}

// points takes n spot heights of the file at path.
func (b *budget) points(path string, n int) error {
	if b.left.Points -= n; b.left.Points >= 0 {
		return nil
	}
	return overLimit(codeTooManyPoints, path, "the job has more spot heights than the limit of %d", b.limits.Points)
}

// vertices takes n vertices of the file at path.
func (b *budget) vertices(path string, n int) error {
	if b.left.Vertices -= n; b.left.Vertices >= 0 {
		return nil
	}
	return overLimit(codeTooManyVertices, path, "the job has more vertices in outlines and lines than the limit of %d", b.limits.Vertices)
}

func overLimit(code, path, message string, limit any) error {
	return &tin.InputError{Code: code, File: path, Message: "with this " + fmt.Sprintf(message, limit), Hint: "thin it out, take out of it what is not used, or split the job"}
}

// whole has an error of a reader that was given what is left of a limit speak of
// the limit: take is asked for all that is left and one more.
func whole(err error, code string, take func() error) error {
	e := asInputError(err)
	if e == nil || e.Code != code {
		return err
	}
	over := asInputError(take())
	if over == nil {
		return err
	}
	placed := *over
	placed.Line, placed.Column = e.Line, e.Column
	return &placed
}
