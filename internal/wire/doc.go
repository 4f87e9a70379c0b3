// Package wire holds the JSON shapes of domain values: event, codebook, reading,
// edit, and the journal's row. Reading files, the journal and HTTP share them.
//
// Each shape is a struct with JSON tags, a From… function and a method that goes
// back. Shapes convert and nothing more: whether a value obeys the rules is asked
// of package annotate (Validate, Apply). Which text is read, and how much of it,
// is up to the caller (package exchange reads files).
//
// Reading is exact: names count letter by letter, a name twice in one object,
// text after the end, or a value of a wrong type is refused as
// [annotate.Problems] whose Field names the place ("events[3].start_us"). null is
// as not given, except where null says something of its own (an open end, a limit
// taken away, all lanes). Unknown fields of a reading and of all that it holds are
// kept as raw JSON; those of an edit are passed over.
//
// Writing is stable: the same value gives the same bytes, fields in the order of
// the structs, unknown ones after them by name.
//
//	var e wire.Event
//	err := json.Unmarshal(text, &e)
//	event, err := e.Event()
package wire
