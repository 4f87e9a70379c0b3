package annotate

// Event is one coded thing: a span [Start, End), a moment (End == Start), or an
// open span, whose end isn't coded yet.
type Event struct {
	ID      string
	Code    string // id of a code of the reading's book
	Start   Micros
	End     Micros // not used while Open; Start then, once it went through an edit or a file
	Open    bool   // the end is not coded
	Details Details
	Note    string
	// Rev is the revision of the reading that gave the event its present
	// content; 0 in an event that is in no stored reading. An undo brings the
	// earlier Rev back along with the earlier content, so equal Rev means equal
	// content.
	Rev   int64
	Extra map[string]string // unknown fields: name to raw JSON
}
