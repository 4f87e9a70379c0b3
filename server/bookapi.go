package server

import (
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/wire"
)

// The routes that take whole books.
const (
	routeBook      = "/api/book"
	routeBookCheck = "/api/book/check"
	routeBookRead  = "/api/book/read"
)

// bookRequest is a book that was changed from a version.
type bookRequest struct {
	Base int           `json:"base"`
	Book wire.Codebook `json:"book"`
}

// bookReply says what is wrong with a changed book and what changed in it.
type bookReply struct {
	Problems []problemReply `json:"problems"`
	Changes  []changeReply  `json:"changes"` // from the version base
	Newest   int            `json:"newest"`
	Theirs   []changeReply  `json:"theirs,omitzero"` // what newer versions changed, where base isn't the newest
	Book     *wire.Codebook `json:"book,omitempty"`  // what was read from a file
}

// savedReply says what saving a book led to.
type savedReply struct {
	Version int  `json:"version"`
	Same    bool `json:"same"` // nothing had changed, and nothing was stored
}

// changeReply is a change as JSON.
type changeReply struct {
	Lane  string `json:"lane,omitempty"`
	Code  string `json:"code,omitempty"`
	Field string `json:"field"`
	Says  string `json:"says"`
}

// bookConflictReply is the 409 of a book: both sides.
type bookConflictReply struct {
	Error  errorFace     `json:"error"`
	Newest int           `json:"newest"`
	Theirs []changeReply `json:"theirs"`
	Yours  []changeReply `json:"yours"`
}

func changeReplies(changes []annotate.BookChange) []changeReply {
	list := make([]changeReply, len(changes))
	for i, ch := range changes {
		list[i] = changeReply{ch.Lane, ch.Code, ch.Field, ch.Says}
	}
	return list
}

func problemReplies(problems annotate.Problems) []problemReply {
	list := make([]problemReply, len(problems))
	for i, p := range problems {
		list[i] = problemReply(p)
	}
	return list
}

// readBook reads a request with a book. What isn't a book has its own words.
func readBook(c echo.Context) (int, *annotate.Codebook, error) {
	var req bookRequest
	if err := readJSON(c, &req); err != nil {
		return 0, nil, err
	}
	book, err := req.Book.Codebook()
	return req.Base, book, err
}

// apiBook answers with the newest version.
func (s *Server) apiBook(c echo.Context) error {
	b, err := s.cfg.Library.Book(c.Request().Context())
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, wire.FromCodebook(b))
}

// apiBookVersion answers with a version.
func (s *Server) apiBookVersion(c echo.Context) error {
	n, err := bookVersionParam(c)
	if err != nil {
		return err
	}
	b, err := s.cfg.Library.BookVersion(c.Request().Context(), n)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, wire.FromCodebook(b))
}

// checkBook says what is wrong with a changed book and what changed; it stores
// nothing.
func (s *Server) checkBook(c echo.Context) error {
	number, book, err := readBook(c)
	if err != nil {
		return err
	}
	reply, err := s.bookReply(c, number, book)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, reply)
}

func (s *Server) bookReply(c echo.Context, number int, book *annotate.Codebook) (bookReply, error) {
	base, newest, err := s.newestBook(c.Request().Context(), number)
	if err != nil {
		return bookReply{}, err
	}
	reply := bookReply{Problems: problemReplies(library.CheckBook(book)), Newest: newest.Version}
	if base == nil { // a version that isn't there: told against the newest
		base = newest
	}
	reply.Changes = changeReplies(book.Changes(base))
	if base != newest {
		reply.Theirs = changeReplies(newest.Changes(base))
	}
	return reply, nil
}

// saveBook stores a changed book as the next version.
func (s *Server) saveBook(c echo.Context) error {
	base, book, err := readBook(c)
	if err != nil {
		return err
	}
	version, err := s.cfg.Library.SaveBook(c.Request().Context(), base, book)
	var conflict *library.BookConflict
	if errors.As(err, &conflict) {
		from := conflict.Base
		if from == nil {
			from = conflict.Newest
		}
		f := faceFor(err)
		return c.JSON(f.status, bookConflictReply{
			Error:  errorFace{Message: "The book was changed on another page in the meantime. Nothing of yours was stored yet.", Hint: "See what the other page changed, then choose."},
			Newest: conflict.Newest.Version, Theirs: changeReplies(conflict.Newest.Changes(from)), Yours: changeReplies(book.Changes(from)),
		})
	}
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, savedReply{Version: version, Same: version == base})
}

// readBookFile reads a book or reading file that a page was given, and says what
// is wrong with its book and how it differs from the newest version.
func (s *Server) readBookFile(c echo.Context) error {
	book, err := exchange.ReadBook(c.Request().Body)
	if err != nil {
		return err
	}
	newest, err := s.cfg.Library.Book(c.Request().Context())
	if err != nil {
		return err
	}
	reply, err := s.bookReply(c, newest.Version, book)
	if err != nil {
		return err
	}
	w := wire.FromCodebook(book)
	reply.Book = &w
	return c.JSON(http.StatusOK, reply)
}

// newCodeID answers with an id for a new code, made from its name.
func (s *Server) newCodeID(c echo.Context) error {
	var req struct {
		Name string   `json:"name"`
		Used []string `json:"used"`
	}
	if err := readJSON(c, &req); err != nil {
		return err
	}
	id, err := s.cfg.Library.NewCodeID(c.Request().Context(), req.Name, req.Used)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]string{"id": id})
}
