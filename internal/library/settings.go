package library

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"afterwalk/annotate"
)

// Settings is what a person has set for a library.
type Settings struct {
	Reader      string        // who codes here, filled in for new readings; "": not set
	Gap         time.Duration // a longer pause between clips starts a new session
	MakeProxies bool          // copies that a browser can play are made by themselves
	Look        string        // LookSystem, LookPaper or LookDark
	SearchKey   bool          // the key / leads to the search field
}

// The looks of the pages.
const (
	LookSystem = "" // as the system says
	LookPaper  = "light"
	LookDark   = "dark"
)

// factSettings is the fact of the library that holds its settings, as one value so
// that they change together.
const factSettings = "settings"

// maxGap is the longest pause within a session that can be set.
const maxGap = 24 * time.Hour

// defaultSettings are those of a library in which nothing was set.
func defaultSettings() Settings { return Settings{Gap: defaultGap, MakeProxies: true, SearchKey: true} }

// settingsFact is the JSON of the fact. What is absent is as by default.
type settingsFact struct {
	Reader      string   `json:"reader,omitempty"`
	GapS        *float64 `json:"gap_s,omitempty"`
	MakeProxies *bool    `json:"make_proxies,omitempty"`
	Look        string   `json:"look,omitempty"`
	SearchKey   *bool    `json:"search_key,omitempty"`
}

// Settings returns what is set for the library; what isn't set is as by default.
func (l *Library) Settings(ctx context.Context) (Settings, error) {
	s := defaultSettings()
	text, err := l.store.Fact(ctx, factSettings)
	if err != nil || text == "" {
		return s, err
	}
	var f settingsFact
	if err := json.Unmarshal([]byte(text), &f); err != nil {
		return s, fmt.Errorf("library: settings: %w", err)
	}
	s.Reader, s.Look = f.Reader, f.Look
	if f.GapS != nil {
		s.Gap = time.Duration(*f.GapS * float64(time.Second))
	}
	if f.MakeProxies != nil {
		s.MakeProxies = *f.MakeProxies
	}
	if f.SearchKey != nil {
		s.SearchKey = *f.SearchKey
	}
	if s.Validate() != nil { // written by another version
		return defaultSettings(), nil
	}
	return s, nil
}

// SetSettings sets all of them. It fails with annotate.Problems; then nothing was
// changed.
func (l *Library) SetSettings(ctx context.Context, s Settings) error {
	done, err := l.begin()
	if err != nil {
		return err
	}
	defer done()
	s.Reader = strings.TrimSpace(s.Reader)
	if err := s.Validate().Err(); err != nil {
		return err
	}
	gap := s.Gap.Seconds()
	text, err := json.Marshal(settingsFact{Reader: s.Reader, GapS: &gap, MakeProxies: &s.MakeProxies, Look: s.Look, SearchKey: &s.SearchKey})
	if err != nil {
		return fmt.Errorf("library: settings: %w", err)
	}
	if err := l.store.SetFact(ctx, factSettings, string(text)); err != nil || !s.MakeProxies {
		return err
	}
	return l.startWanted(ctx) // what waited for this to be switched on
}

// Validate returns what is wrong with settings, nil if nothing is.
func (s Settings) Validate() annotate.Problems {
	var p annotate.Problems
	if n := utf8.RuneCountInString(s.Reader); n > nameLimit {
		p = append(p, annotate.Problem{Field: "reader", Message: fmt.Sprintf("The name is too long: %d characters, at most %d are kept.", n, nameLimit), Hint: "Shorten it; initials will do."})
	}
	if s.Gap <= 0 || s.Gap > maxGap {
		p = append(p, annotate.Problem{Field: "gap", Message: "The pause between sessions has to lie above 0 and up to 1440 minutes.", Hint: "30 is usual."})
	}
	switch s.Look {
	case LookSystem, LookPaper, LookDark:
	default:
		p = append(p, annotate.Problem{Field: "look", Message: fmt.Sprintf("There is no look %q.", s.Look), Hint: "Choose one of the three."})
	}
	return p
}
