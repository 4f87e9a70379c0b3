package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/media"
	"afterwalk/internal/store"
	"afterwalk/internal/wire"
)

// The kinds of refusal that belong to HTTP alone.
var (
	errForeignHost   = errors.New("host is not this server's")
	errForeignOrigin = errors.New("asked for by another site")
	errNoCookie      = errors.New("no cookie from the start address")
	errNotJSON       = errors.New("body is not sent as JSON")
	errOutside       = errors.New("outside the folders that may be shown")
)

// statusGone is for the log alone: the browser has gone away.
const statusGone = 499

// kinds is the one table from kinds of error to what is answered; the first that
// matches counts. Errors that bring their own words (problems, conflicts, faults
// of footage, malformed requests) keep them.
var kinds = []struct {
	kind          error
	status        int
	message, hint string
}{
	{errForeignHost, http.StatusMisdirectedRequest, "This address is not one of afterwalk's.", "Open the address that the program printed."},
	{errForeignOrigin, http.StatusForbidden, "Another site asked for this. It was refused.", "Open the page yourself and try again."},
	{errNoCookie, http.StatusForbidden, "This browser has not been let in yet.", "Open the address that the program printed when it started; it ends in “?start=” and a long word."},
	{errNotJSON, http.StatusUnsupportedMediaType, "The request was not JSON.", "Reload the page and try again."},
	{errOutside, http.StatusForbidden, "This folder can't be shown here.", "The chooser shows your home folder and mounted drives. For anything else use the command: afterwalk add --dog NAME FOLDER."},
	{store.ErrBinned, http.StatusNotFound, "This lies in the bin. Nothing was changed.", "Put it back from the bin, then go on; what could not be saved waits in this browser."},
	{annotate.ErrNotFound, http.StatusNotFound, "There is nothing here.", "It may have been removed, or the address was cut short. Start again from the dogs."},
	{annotate.ErrConflict, http.StatusConflict, "This was changed on another page in the meantime. Nothing of yours was stored yet.", "Choose which of the two to keep."},
	{annotate.ErrInvalid, http.StatusUnprocessableEntity, "This can't be stored as it is. Nothing was changed.", "See what is wrong below."},
	{store.ErrFull, http.StatusInsufficientStorage, "The disk is full; the last change was not stored.", "Make room, then try again. What the desk has not saved waits in this browser."},
	{store.ErrReadOnly, http.StatusServiceUnavailable, "The library is open for reading only; nothing was changed.", "Close the program that writes to it, then restart afterwalk."},
	{store.ErrDamaged, http.StatusInternalServerError, "The database is damaged; nothing was changed.", "Keep the library's folder as it is, run `afterwalk check`, and go back to a backup."},
	{context.Canceled, statusGone, "The request was ended.", ""},
	{context.DeadlineExceeded, http.StatusServiceUnavailable, "This took too long and was ended.", "Try again; if it stays so, restart afterwalk."},
}

// badRequest is a request that could not be read, with the words for it.
type badRequest struct {
	message, hint string
	cause         error
}

// Error gives the words and the cause.
func (b *badRequest) Error() string {
	if b.cause != nil {
		return b.message + ": " + b.cause.Error()
	}
	return b.message
}

// Unwrap returns the cause.
func (b *badRequest) Unwrap() error { return b.cause }

// face is what the person gets to see of an error.
type face struct {
	status        int
	message, hint string
	unknown       bool // nothing is said of it but the request's id
}

// faceFor looks an error up in the table of kinds.
func faceFor(err error) face {
	var tooLarge *http.MaxBytesError
	var bad *badRequest
	var fault *media.Fault
	var echoed *echo.HTTPError
	switch {
	case errors.As(err, &tooLarge):
		return face{status: http.StatusRequestEntityTooLarge, message: "The request was too large. Nothing was changed.",
			hint: fmt.Sprintf("At most %d KB are taken at once.", tooLarge.Limit>>10)}
	case errors.As(err, &bad):
		return face{status: http.StatusBadRequest, message: bad.message, hint: bad.hint}
	case errors.As(err, &fault):
		f := face{status: http.StatusUnprocessableEntity, message: fault.Message, hint: fault.Hint}
		if fault.Kind == "unreadable" { // a file that isn't where it was
			f.status = http.StatusNotFound
		}
		return f
	}
	for _, k := range kinds {
		if errors.Is(err, k.kind) {
			return face{status: k.status, message: k.message, hint: k.hint}
		}
	}
	if errors.As(err, &echoed) {
		switch echoed.Code {
		case http.StatusNotFound:
			return faceFor(annotate.ErrNotFound)
		case http.StatusMethodNotAllowed:
			return face{status: echoed.Code, message: "This can't be done at this address.", hint: "Start again from the dogs."}
		}
	}
	return face{status: http.StatusInternalServerError, unknown: true,
		message: "Something went wrong inside afterwalk. What was saved before is kept.",
		hint:    "Try again. If it happens again, the program's own output has the cause under this number"}
}

// errorReply is an error as JSON. Problems come with 422; revision, gone and
// conflicts with 409.
type errorReply struct {
	Error     errorFace       `json:"error"`
	Problems  []problemReply  `json:"problems,omitempty"`
	Revision  *int64          `json:"revision,omitempty"`
	Gone      *bool           `json:"gone,omitempty"`
	Conflicts []conflictReply `json:"conflicts,omitzero"`
}

type errorFace struct {
	Message string `json:"message"`
	Hint    string `json:"hint"`
	Request string `json:"request,omitempty"`
}

type problemReply struct {
	Field   string `json:"field"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

type conflictReply struct {
	ID    string      `json:"id"`
	Yours *wire.Event `json:"yours"`
	Now   *wire.Event `json:"now"`
}

// replyFor builds the JSON of an error.
func replyFor(err error, f face, request string) errorReply {
	reply := errorReply{Error: errorFace{Message: f.message, Hint: f.hint}}
	if f.unknown {
		reply.Error.Request = request
		reply.Error.Hint += ": " + request + "."
	}
	var problems annotate.Problems
	if errors.As(err, &problems) {
		for _, p := range problems {
			reply.Problems = append(reply.Problems, problemReply(p))
		}
		if len(problems) > 0 {
			reply.Error.Message = problems[0].Message
			reply.Error.Hint = problems[0].Hint
		}
	}
	var conflict *annotate.Conflict
	if errors.As(err, &conflict) {
		reply.Revision, reply.Gone = &conflict.Revision, &conflict.Gone
		if conflict.Gone || len(conflict.Events) == 0 { // there is nothing to choose from
			reply.Error.Message = "What this would undo was changed on another page in the meantime."
			reply.Error.Hint = "Nothing was changed. Undo goes on from what is there now."
		}
		reply.Conflicts = []conflictReply{}
		for _, e := range conflict.Events {
			reply.Conflicts = append(reply.Conflicts, conflictReply{ID: e.ID, Yours: eventReply(e.Yours), Now: eventReply(e.Now)})
		}
	}
	return reply
}

// eventReply returns an event as JSON, nil for none.
func eventReply(e *annotate.Event) *wire.Event {
	if e == nil {
		return nil
	}
	w := wire.FromEvent(*e)
	return &w
}

// answerError answers an error in the form that the address promises: JSON under
// /api/, plain text for files, a page for everything else. What has been sent in
// part is left as it is.
func (s *Server) answerError(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	f := faceFor(err)
	if f.status == statusGone {
		c.Response().Status = statusGone // nobody listens any more
		return
	}
	reply := replyFor(err, f, requestID(c))
	c.Response().Header().Del("ETag")
	c.Response().Header().Set("Cache-Control", "no-store")
	path := c.Request().URL.Path
	var failed error
	switch {
	case c.Request().Method == http.MethodHead:
		failed = c.NoContent(f.status)
	case strings.HasPrefix(path, "/api/"):
		failed = c.JSON(f.status, reply)
	case strings.HasPrefix(path, "/media/"), strings.HasPrefix(path, "/charts/"), strings.HasPrefix(path, "/assets/"):
		failed = c.String(f.status, reply.Error.Message+" "+reply.Error.Hint+"\n")
	default:
		failed = s.errorPage(c, f.status, reply)
	}
	if failed != nil && !c.Response().Committed {
		_ = c.String(f.status, reply.Error.Message+"\n")
	}
}

// unreadable is the error of a body that is JSON but not what was asked for.
// Problems keep their words.
func unreadable(err error) error {
	if errors.Is(err, annotate.ErrInvalid) {
		return err
	}
	return &badRequest{message: "The edit could not be read. Nothing was changed.", hint: "Reload the page; what waits in it is kept.", cause: err}
}

// isNotFound reports whether an error says that something isn't there.
func isNotFound(err error) bool { return errors.Is(err, annotate.ErrNotFound) }
