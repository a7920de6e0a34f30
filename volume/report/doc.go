// Package report writes the result of a takeoff: [Text] as a quantity sheet of
// at most 80 columns, [JSON] as one object for a machine, and [ErrorJSON] an
// error as one. [PlanSVG] draws the works in plan. [HTML] writes a report of a whole job
// as one page. [Comparison] and [ComparisonJSON] write that of a comparison.
// [Sections] and [SectionsJSON] write a job's sections, [SectionCSV] and [SectionSVG]
// one section as a table and as a picture. [Bill], [BillJSON] and [BillCSV] write a
// priced bill of quantities. [SurfacesFiles] are the files that hold a job's surfaces.
// [LevelBook] and [TwoPeg] write what comes of a level book. [Words] are the words of all
// of these, and what they mean.
//
// It measures nothing and decides nothing: every number comes out of the
// [takeoff.Result], rounded in the text only. Cut, fill and net void are
// defined in package takeoff; nothing here makes a price, a surplus or a judgement
// of whether a face will stand.
package report
