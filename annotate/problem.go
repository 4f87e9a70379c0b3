package annotate

import (
	"errors"
	"strings"
)

// The kinds of error that callers tell apart, by errors.Is.
var (
	ErrNotFound = errors.New("not found")
	ErrConflict = errors.New("changed in the meantime")
	ErrInvalid  = errors.New("not valid")
)

// Problem is one thing that is wrong with a value.
type Problem struct {
	Field   string // where: "events[3] (id).end_us", "codebook.lanes[2]", …
	Message string // what is wrong, a sentence that names the event and the rule
	Hint    string // what to do about it, or ""
}

// Problems is all that is wrong with a value; as an error it matches [ErrInvalid].
type Problems []Problem

// Error lists the messages, one a line.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, q := range p {
		lines[i] = q.Message
		if q.Field != "" {
			lines[i] = q.Field + ": " + q.Message
		}
		if q.Hint != "" {
			lines[i] += " " + q.Hint
		}
	}
	return strings.Join(lines, "\n")
}

// Is reports whether target is ErrInvalid.
func (p Problems) Is(target error) bool { return target == ErrInvalid }

// Err returns p, or nil where there are no problems.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	return p
}

// Error says what happened.
func (c *Conflict) Error() string { return "the events were changed in the meantime" }

// Is reports whether target is ErrConflict.
func (c *Conflict) Is(target error) bool { return target == ErrConflict }
