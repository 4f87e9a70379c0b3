package library

import (
	"context"
	"errors"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
)

// words returns what a person is told of an error. One that has no words for a
// person goes to the log.
func (l *Library) words(doing string, err error) string {
	var fault *media.Fault
	var problems annotate.Problems
	switch {
	case errors.As(err, &fault):
		if fault.Cause != nil {
			l.cfg.Log.Info(doing, "err", fault.Cause)
		}
		return fault.Error()
	case errors.As(err, &problems):
		return problems.Error()
	case errors.Is(err, context.Canceled):
		return "It was stopped."
	case errors.Is(err, store.ErrFull):
		return "The disk is full. Make room, then try again; what was there before is kept."
	}
	l.cfg.Log.Error(doing, "err", err)
	return "Something went wrong inside afterwalk. What was there before is kept; the program's own output says more."
}
