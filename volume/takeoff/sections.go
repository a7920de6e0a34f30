package takeoff

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
)

// SectionsOptions tell [Sections] how to go about it. The zero value is good.
type SectionsOptions struct {
	Alignment string  // name of the one to cut along; empty: all of the job's, or the long axis of the works
	Interval  float64 // in the job's unit, on the ground, in place of those of the job; 0: the job's
	RunOut    string  // RunOutAveraged or RunOutPyramid in place of those of the job; empty: the job's
	Most      int     // sections along all alignments together at most; 0 counts as 5,000

	// Progress, if set, is told the stage of the work and how far it is.
	Progress func(stage string, done, total int)
}

// Sections measures a job by sections: it finds the works as [Run] does, cuts them
// along the job's alignments, and holds the volumes over the sections against those of
// the prisms. Without an alignment the sections are cut along the long axis of the
// works, see [section.Default]. Sections and prisms share the ground and the works, and
// no code that measures.
//
// Errors are those of Run; besides, more sections than allowed ("too_many_sections")
// and a name that no alignment has ("no_alignment").
func Sections(ctx context.Context, job *Job, opts SectionsOptions) (*SectionsResult, error) {
	if err := opts.check(job); err != nil {
		return nil, err
	}
	r, err := takeOff(ctx, job, Options{Progress: opts.Progress})
	if err != nil {
		return nil, err
	}
	return r.sections(r.result(), opts)
}

// check refuses options that are none, or that the job has no alignment for.
func (o *SectionsOptions) check(job *Job) error {
	switch {
	case !known(o.RunOut, RunOutAveraged, RunOutPyramid):
		return badJob(codeBadValue, "run_out", fmt.Sprintf("unknown word %q", o.RunOut), `use "averaged" or "pyramid"`)
	case !(o.Interval >= 0) || !finite(o.Interval):
		return badJob(codeBadValue, "interval", fmt.Sprintf("an interval of %s", formatNumber(o.Interval)), "give a length above 0")
	}
	return job.placed(job.checkAlignmentName(o.Alignment))
}

// sections measures works that are found, and of which the takeoff says this, by sections.
func (r *run) sections(measured *Result, opts SectionsOptions) (*SectionsResult, error) {
	cuts, err := r.cutSections(opts)
	if err != nil {
		return nil, r.job.placed(err)
	}
	res, err := r.sectionsResult(measured, cuts)
	if err != nil {
		return nil, r.job.placed(err)
	}
	return res, nil
}

// sectioned is the works cut along one alignment; metres on the grid.
type sectioned struct {
	of       Alignment // of the job, or made up for the long axis
	chosen   bool      // the long axis of the works
	line     *section.Alignment
	interval float64

	cut                 *section.Run
	spans               []section.Span
	endArea, prismoidal section.Volumes
	layers              [][]SectionLayer // of each section

	notes, warnings []tin.Problem
}

// longAxis names the alignment of a job that has none.
const longAxis = "long axis of the works"

// dugFaces is the works as sections see them.
type dugFaces struct {
	profile *section.Faces
	places  []orb.Point // the corners of its faces
	corners []orb.Point // where the works may change at once
	layers  []builtUp
}

// dug returns the works once they are found.
func (r *run) dug() (d dugFaces, err error) {
	faces := r.faces()
	d.corners = r.padCorners()
	for _, f := range faces {
		for _, c := range f.Corner {
			d.places = append(d.places, orb.Point{c.E, c.N})
		}
	}
	if d.profile, err = section.NewFaces(r.ctx, faces); err != nil {
		return d, err
	}
	d.layers, err = r.buildUps()
	return d, err
}

// faces returns the works as plane faces: what lies within the formation outlines,
// and the batters.
func (r *run) faces() (faces []section.Face) {
	for i := range r.layout.Pads {
		for _, facets := range [][]tin.Facet{r.layout.Pads[i].Facets, r.layout.Pads[i].Margin} {
			for _, f := range facets {
				faces = append(faces, section.FacetFace(f))
			}
		}
		for _, p := range r.dig.Pads[i].Faces {
			faces = append(faces, section.PieceFace(r.ground.Frame(), p))
		}
	}
	return faces
}

// padCorners returns the corners of the outlines and of the formation outlines.
func (r *run) padCorners() (corners []orb.Point) {
	for i := range r.job.Pads {
		for _, ring := range r.job.Pads[i].Outline {
			for _, p := range ring {
				corners = append(corners, scalePoint(p, r.unit))
			}
		}
	}
	for _, o := range r.layout.Outlines {
		for _, ring := range o.Rings {
			for _, c := range ring {
				corners = append(corners, orb.Point{c.E, c.N})
			}
		}
	}
	return corners
}
