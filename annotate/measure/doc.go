// Package measure computes what a coded clip says: how much of the heel work was
// out of position, which stays were held, how each cue was answered, what
// pressure was used, on what ground, and whether it stopped.
//
// [Of] measures the readings of one session, [Series] the sessions of one dog.
// The result structs are the JSON of the measures file and carry its tags;
// nothing here reads or writes one. Statistics are package stat's; they stand in
// one file, stats.go.
//
// Conventions. Times are [annotate.Micros] on the clip's own timeline, spans are
// half-open, [Start, End); results are in seconds and per minute. What was not
// coded is nil and not 0, and so is a ratio to nothing. Nothing here changes a
// reading. The same readings give the same result, whatever order their events
// stand in.
//
// One reading is worked through in one pass, each file building on those before:
// window.go cuts the events to the window, bouts.go and stretches.go find what went
// wrong, trials.go follows cues to their answers, occasions.go and steps.go give
// each pressure event its ground. The other files count.
//
//	m, err := measure.Of([]*annotate.Reading{r})
//	share := m.Heel.ErrorShare // nil without heel work
package measure
