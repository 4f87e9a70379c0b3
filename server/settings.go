package server

import (
	"errors"
	"math"
	"net/http"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/library"
)

// settingsBody is what the page of settings shows.
type settingsBody struct {
	Form     settingsForm
	Wrong    map[string]string // by field: what is wrong with it
	Saved    bool
	Folders  []string
	Dir      string
	Sizes    library.Sizes
	Backups  []library.BackupFile
	BackedUp *library.BackupFile // just now
	Checked  *library.CheckReport
	Version  string
}

// settingsForm is what is typed in the form of the settings.
type settingsForm struct {
	Reader, GapMin, Look   string
	MakeProxies, SearchKey bool
}

// formOf fills the form from the settings.
func formOf(set library.Settings) settingsForm {
	return settingsForm{
		Reader: set.Reader, GapMin: strconv.FormatFloat(set.Gap.Minutes(), 'f', -1, 64), Look: set.Look,
		MakeProxies: set.MakeProxies, SearchKey: set.SearchKey,
	}
}

// settings reads the form.
func (f settingsForm) settings() (library.Settings, annotate.Problems) {
	set := library.Settings{Reader: f.Reader, Look: f.Look, MakeProxies: f.MakeProxies, SearchKey: f.SearchKey}
	var p annotate.Problems
	minutes, err := number(f.GapMin)
	if err != nil {
		p = append(p, annotate.Problem{Field: "gap", Message: "The pause isn't a number.", Hint: "Write minutes, such as 30."})
		set.Gap = time.Minute // so that only this is told of it
	} else {
		set.Gap = time.Duration(math.Round(min(minutes, 1e6)*60)) * time.Second
	}
	return set, append(p, set.Validate()...)
}

// number reads a number that a person typed, with a decimal point or comma.
func number(s string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(s), ",", ".", 1), 64)
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		err = errors.New("not a number")
	}
	return v, err
}

// settingsPage shows the settings, and the result of a check where ?check=1 asks
// for one.
func (s *Server) settingsPage(c echo.Context) error {
	set, err := s.cfg.Library.Settings(c.Request().Context())
	if err != nil {
		return err
	}
	body := settingsBody{Form: formOf(set), Saved: c.QueryParam("saved") == "1"}
	if c.QueryParam("check") == "1" {
		report, err := s.cfg.Library.Check(c.Request().Context())
		if err != nil {
			return err
		}
		body.Checked = &report
	}
	return s.showSettings(c, http.StatusOK, body)
}

// showSettings fills in what the page shows besides the form.
func (s *Server) showSettings(c echo.Context, status int, body settingsBody) error {
	l := s.cfg.Library
	ctx := c.Request().Context()
	var err error
	if body.Folders, err = l.Folders(ctx); err != nil {
		return err
	}
	if body.Sizes, err = l.Sizes(ctx); err != nil {
		return err
	}
	if body.Backups, err = l.BackupsHere(); err != nil {
		return err
	}
	for i, b := range body.Backups {
		if b.Name == c.QueryParam("backup") {
			body.BackedUp = &body.Backups[i]
		}
	}
	body.Dir, body.Version = l.Dir(), version()
	return s.render(c, status, "settings", Page{Title: "Settings", Crumbs: []Crumb{{Name: "Settings"}}, Body: body})
}

// setSettings stores the settings, or shows the form again with what is wrong
// beside each field.
func (s *Server) setSettings(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	form := settingsForm{
		GapMin: c.FormValue("gap"), Look: c.FormValue("look"),
		MakeProxies: c.FormValue("make_proxies") == "1", SearchKey: c.FormValue("search_key") == "1",
	}
	form.Reader = cleaned(c.FormValue("reader"))
	set, wrong := form.settings()
	if len(wrong) == 0 {
		if err := s.cfg.Library.SetSettings(c.Request().Context(), set); !errors.As(err, &wrong) {
			if err != nil {
				return err
			}
			return c.Redirect(http.StatusSeeOther, "/settings?saved=1")
		}
	}
	return s.showSettings(c, http.StatusUnprocessableEntity, settingsBody{Form: form, Wrong: byField(wrong)})
}

// byField returns what is wrong with each field, in sentences.
func byField(p annotate.Problems) map[string]string {
	out := map[string]string{}
	for _, q := range p {
		out[q.Field] = strings.TrimSpace(out[q.Field] + " " + strings.TrimSpace(q.Message+" "+q.Hint))
	}
	return out
}

// forgetFolder takes a folder out of those in which moved clips are looked for.
func (s *Server) forgetFolder(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	if err := s.cfg.Library.ForgetFolder(c.Request().Context(), c.FormValue("path")); err != nil && !isNotFound(err) {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/settings#folders")
}

// backup writes a checked copy of the database into the library's folder.
func (s *Server) backup(c echo.Context) error {
	name, err := s.cfg.Library.BackupHere(c.Request().Context())
	if err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, "/settings?backup="+name+"#library")
}

// version names the program as it was built: its version, or the state of its
// source.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	for _, set := range info.Settings {
		if set.Key == "vcs.revision" && len(set.Value) >= 12 {
			return "built from source at " + set.Value[:12]
		}
	}
	return "built from source"
}
