package server

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/annotate/caption"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
	"afterwalk/internal/wire"
)

// bookBody is what a page about a version of the book shows, without its script
// too.
type bookBody struct {
	Book     *annotate.Codebook
	Version  int
	Newest   int
	Facts    library.BookVersion
	Rules    []ruleRow
	Saved    bool // it was just made the newest
	Same     bool // it was to be made the newest, and already is
	Cautions []string
}

// Editable reports whether it is the page of the newest version.
func (b bookBody) Editable() bool { return b.Version == b.Newest }

// Next returns the number that the next version will have.
func (b bookBody) Next() int { return b.Newest + 1 }

// bookData is what the editor starts from.
type bookData struct {
	Library  string             `json:"library"`
	Version  int                `json:"version"`
	Book     wire.Codebook      `json:"book"`
	House    wire.House         `json:"house"` // the defaults
	Roles    []roleData         `json:"roles"`
	Places   []placeData        `json:"places"`
	Delays   []string           `json:"delays"`
	Findings []string           `json:"findings"`
	DeskKeys []deskKeyData      `json:"desk_keys"`
	Uses     map[string]useData `json:"uses"`
	Cautions []string           `json:"cautions"`
}

type roleData struct {
	Role   annotate.Role    `json:"role"`
	Shapes []annotate.Shape `json:"shapes"` // the usual one first
}

type placeData struct {
	Name   string `json:"name"`
	Means  string `json:"means"`
	Sample string `json:"sample"`
}

type deskKeyData struct {
	Place string `json:"place"`
	Does  string `json:"does"`
}

type useData struct {
	Events   int `json:"events"`
	Readings int `json:"readings"`
}

// bookPage shows the newest version of the book and lets it be changed.
func (s *Server) bookPage(c echo.Context) error {
	ctx := c.Request().Context()
	versions, err := s.cfg.Library.Books(ctx)
	if err != nil {
		return err
	}
	if len(versions) == 0 {
		return annotate.ErrNotFound
	}
	newest := versions[0]
	uses, err := s.cfg.Library.CodeUses(ctx)
	if err != nil {
		return err
	}
	body := bookBodyOf(newest, newest.Version())
	body.Saved, body.Same = c.QueryParam("saved") == "1", c.QueryParam("saved") == "0"
	return s.render(c, http.StatusOK, "book", Page{
		Title: "Book", Class: "book", Crumbs: []Crumb{{Name: "Book"}}, Body: body, Data: s.bookData(newest.Book, uses),
	})
}

func bookBodyOf(v library.BookVersion, newest int) bookBody {
	return bookBody{Book: v.Book, Version: v.Version(), Newest: newest, Facts: v, Rules: ruleRows(v.Book.House), Cautions: ladderCautions}
}

func (s *Server) bookData(b *annotate.Codebook, uses map[string]store.CodeUse) bookData {
	d := bookData{
		Library: s.cfg.Library.ID(), Version: b.Version, Book: wire.FromCodebook(b),
		House:  wire.FromCodebook(&annotate.Codebook{House: annotate.DefaultHouse()}).House,
		Delays: annotate.Delays(), Findings: annotate.Findings(), Uses: map[string]useData{}, Cautions: ladderCautions,
	}
	for _, r := range annotate.Roles() {
		d.Roles = append(d.Roles, roleData{r, r.Shapes()})
	}
	for _, p := range caption.Places() {
		d.Places = append(d.Places, placeData(p))
	}
	for _, k := range annotate.DeskKeys() {
		d.DeskKeys = append(d.DeskKeys, deskKeyData(k))
	}
	for code, u := range uses {
		d.Uses[code] = useData(u)
	}
	return d
}

// bookVersionParam is the number of a version in an address.
func bookVersionParam(c echo.Context) (int, error) {
	n, err := strconv.Atoi(c.Param("version"))
	if err != nil || n < 1 {
		return 0, fmt.Errorf("server: version %q of the book: %w", c.Param("version"), annotate.ErrNotFound)
	}
	return n, nil
}

// bookVersions lists the versions with what each changed.
func (s *Server) bookVersions(c echo.Context) error {
	ctx := c.Request().Context()
	versions, err := s.cfg.Library.Books(ctx)
	if err != nil {
		return err
	}
	foreign, err := s.cfg.Library.ForeignBooks(ctx)
	if err != nil {
		return err
	}
	body := struct {
		Versions []library.BookVersion // newest first
		Foreign  int
	}{versions, foreign}
	return s.render(c, http.StatusOK, "book-versions", Page{
		Title: "Versions of the book", Class: "book", Crumbs: []Crumb{{Name: "Book", Href: "/book"}, {Name: "Versions"}}, Body: body,
	})
}

// bookVersion shows one version, to be read.
func (s *Server) bookVersion(c echo.Context) error {
	n, err := bookVersionParam(c)
	if err != nil {
		return err
	}
	versions, err := s.cfg.Library.Books(c.Request().Context())
	if err != nil {
		return err
	}
	for _, v := range versions {
		if v.Version() == n {
			return s.render(c, http.StatusOK, "book", Page{
				Title: fmt.Sprintf("Version %d of the book", n), Class: "book",
				Crumbs: []Crumb{{Name: "Book", Href: "/book"}, {Name: "Versions", Href: "/book/versions"}, {Name: fmt.Sprintf("Version %d", n)}},
				Body:   bookBodyOf(v, versions[0].Version()),
			})
		}
	}
	return annotate.ErrNotFound
}

// restoreBook saves the content of an older version as the next one. The form says
// which version was the newest when it was shown.
func (s *Server) restoreBook(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	n, err := bookVersionParam(c)
	if err != nil {
		return err
	}
	base, err := strconv.Atoi(c.FormValue("base"))
	if err != nil {
		return &badRequest{message: "The form doesn't say which version is the newest. Nothing was changed.", hint: "Go back, reload the page and try again.", cause: err}
	}
	ctx := c.Request().Context()
	b, err := s.cfg.Library.BookVersion(ctx, n)
	if err != nil {
		return err
	}
	now, err := s.cfg.Library.SaveBook(ctx, base, b)
	if errors.Is(err, annotate.ErrConflict) {
		return annotate.Problems{{Message: "A newer version was saved in the meantime. Nothing was changed.", Hint: "Look at the versions again, then choose."}}
	}
	if err != nil {
		return err
	}
	saved := "1"
	if now == base {
		saved = "0"
	}
	return c.Redirect(http.StatusSeeOther, "/book?saved="+saved)
}

// exportBook answers with a version as a book file.
func (s *Server) exportBook(c echo.Context) error {
	n, err := bookVersionParam(c)
	if err != nil {
		return err
	}
	b, err := s.cfg.Library.BookVersion(c.Request().Context(), n)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := exchange.WriteBook(&out, b); err != nil {
		return err
	}
	name := fmt.Sprintf("%s.v%d.book.json", plainName(b.Name, 60), n)
	return saved(c, "application/json; charset=utf-8", name, true, out.Bytes())
}

// newestBook returns the newest version and the one with a number, the same if
// that is it; base is nil where there is none of that number.
func (s *Server) newestBook(ctx context.Context, number int) (base, newest *annotate.Codebook, err error) {
	if newest, err = s.cfg.Library.Book(ctx); err != nil {
		return nil, nil, err
	}
	if number == newest.Version {
		return newest, newest, nil
	}
	base, err = s.cfg.Library.BookVersion(ctx, number)
	if errors.Is(err, annotate.ErrNotFound) {
		return nil, newest, nil
	}
	return base, newest, err
}
