package server

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/labstack/echo/v4"

	"afterwalk/internal/library"
)

// searchPath is the address of the page of a search.
const searchPath = "/search"

// searchLimit is how many hits are shown.
const searchLimit = 200

// searchBody is what the page of a search shows.
type searchBody struct {
	Query  string
	Groups []hitGroup
	Count  int
	More   bool // there are more than are shown
}

// hitGroup holds the hits of one kind.
type hitGroup struct {
	Name, ID string
	Hits     []hitRow
}

// hitRow is a hit with where it leads.
type hitRow struct {
	library.Hit
	Href   string
	Pieces []piece
}

// piece is a part of a text that was found, or what lies between.
type piece struct {
	Text   string
	Marked bool
}

// hitKinds are the groups, in order.
var hitKinds = []struct{ kind, name string }{
	{kindDog, "Dogs"}, {kindSession, "Sessions"}, {kindClip, "Clips"}, {kindReading, "Readings"}, {"event", "Events"},
}

// searchPage looks for what was typed; without a query it says what there is to
// look for.
func (s *Server) searchPage(c echo.Context) error {
	body := searchBody{Query: strings.TrimSpace(c.QueryParam("q"))}
	if n := utf8.RuneCountInString(body.Query); n > maxName {
		body.Query = string([]rune(body.Query)[:maxName])
	}
	if body.Query != "" {
		hits, err := s.cfg.Library.Search(c.Request().Context(), body.Query, searchLimit+1)
		if err != nil {
			return err
		}
		if len(hits) > searchLimit {
			hits, body.More = hits[:searchLimit], true
		}
		body.Count, body.Groups = len(hits), groupHits(hits)
	}
	title := "Search"
	if body.Query != "" {
		title = "Search: " + body.Query
	}
	return s.render(c, http.StatusOK, "search", Page{Title: title, Crumbs: []Crumb{{Name: "Search"}}, Body: body})
}

// groupHits sorts hits into their groups; within one they keep their order.
func groupHits(hits []library.Hit) []hitGroup {
	var groups []hitGroup
	for _, k := range hitKinds {
		g := hitGroup{Name: k.name, ID: "found-" + k.kind}
		for _, h := range hits {
			if h.Kind == k.kind {
				g.Hits = append(g.Hits, hitRow{Hit: h, Href: hitHref(h), Pieces: pieces(h.Text, h.Marks)})
			}
		}
		if len(g.Hits) > 0 {
			groups = append(groups, g)
		}
	}
	return groups
}

// hitHref returns where a hit is to be seen: an event on its reading's desk, at
// its time.
func hitHref(h library.Hit) string {
	id := url.PathEscape
	switch h.Kind {
	case "event":
		return "/desk/" + id(h.ReadingID) + "#t=" + strconv.FormatFloat(h.At.Seconds(), 'f', -1, 64)
	case kindReading:
		return "/desk/" + id(h.ReadingID)
	case kindClip:
		return "/sessions/" + id(h.SessionID) + "#clip-" + id(h.ClipID)
	case kindSession:
		return "/sessions/" + id(h.SessionID)
	}
	return "/dogs/" + id(h.DogID)
}

// How much of a long text is shown around what was found, in characters.
const (
	shownBefore = 60
	shownAfter  = 180
)

// pieces cuts a text at its marks, which are byte ranges in order; ranges that
// don't fit it are passed over. Of a long text only what lies around the first
// mark is kept, with … where something is left out.
func pieces(text string, marks [][2]int) []piece {
	var good [][2]int
	last := 0
	for _, m := range marks {
		if m[0] >= last && m[0] < m[1] && m[1] <= len(text) && runeEdge(text, m[0]) && runeEdge(text, m[1]) {
			good = append(good, m)
			last = m[1]
		}
	}
	first := 0
	if len(good) > 0 {
		first = good[0][0]
	}
	from := step(text, first, -shownBefore)
	to := step(text, first, shownAfter)
	if len(good) > 0 {
		to = max(to, good[0][1])
	}
	var out []piece
	add := func(s string, marked bool) {
		if s != "" {
			out = append(out, piece{s, marked})
		}
	}
	if from > 0 {
		add("…", false)
	}
	at := from
	for _, m := range good {
		if m[0] >= to {
			break
		}
		add(text[at:m[0]], false)
		end := min(m[1], to)
		add(text[m[0]:end], true)
		at = end
	}
	add(text[at:to], false)
	if to < len(text) {
		add("…", false)
	}
	return out
}

// step returns the byte index so many characters from another, not beyond the
// ends.
func step(text string, at, chars int) int {
	for ; chars < 0 && at > 0; chars++ {
		_, n := utf8.DecodeLastRuneInString(text[:at])
		at -= n
	}
	for ; chars > 0 && at < len(text); chars-- {
		_, n := utf8.DecodeRuneInString(text[at:])
		at += n
	}
	return at
}

// runeEdge reports whether a byte index lies between characters.
func runeEdge(text string, at int) bool {
	return at == 0 || at == len(text) || utf8.RuneStart(text[at])
}
