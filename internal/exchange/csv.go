package exchange

import (
	"io"
	"iter"

	"afterwalk/annotate"
)

// CodedClip is a reading with what a table of events says about where it belongs.
type CodedClip struct {
	Reading *annotate.Reading
	Session string // the session's title
}

// WriteEventsCSV writes the events of readings as a table, one row each, in the
// order given.
func WriteEventsCSV(w io.Writer, readings iter.Seq2[CodedClip, error]) error {
	return nil
}
