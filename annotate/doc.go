// Package annotate holds what is coded about a clip: the codebook, the events,
// the readings they belong to, and the edits that change a reading.
//
// It is values and pure functions. It reads no file, no database and no clock;
// whoever stores, sends or draws a reading does so from outside (packages
// store, wire, server, ui). Measures computed from readings are in
// annotate/measure, agreement in annotate/agree, caption wording in
// annotate/caption.
//
// Conventions: times are [Micros] on the clip's own media timeline; a [Span] is
// half-open, [Start, End); a moment has End == Start; ids are opaque strings
// compared bytewise; nothing here changes a slice or map that it was given.
//
//	r, done, err := r.Apply(annotate.Edit{ID: id, Put: []annotate.Put{{Event: e}}})
package annotate
