// Package axe checks the page in a browser's tab with axe-core, which is vendored
// here: README.md says which version and how to renew it. The page's content
// security policy stays in force: the script comes in by the developer tools.
package axe

import (
	"bytes"
	"compress/gzip"
	"context"
	_ "embed" // for the script
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"sync"

	"github.com/chromedp/chromedp"
)

// Version is that of the vendored axe-core.
const Version = "4.14.1"

// SHA-256 of the script and of the file that it is packed in.
const (
	sumScript = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"
	sumPacked = "cda5e4385d9437c1fd009f2ff76f7e4049af354d2d6522da2a905c2a69ede4ec"
)

//go:embed axe.min.js.gz
var packed []byte

// script is the unpacked script.
var script = sync.OnceValues(func() (string, error) {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return "", fmt.Errorf("axe: %w", err)
	}
	text, err := io.ReadAll(r)
	if err != nil {
		return "", fmt.Errorf("axe: %w", err)
	}
	return string(text), nil
})

// Violation is a rule that the page breaks.
type Violation struct {
	Rule   string // axe's name of it
	Impact string // minor, moderate, serious or critical
	Help   string // what the rule asks for
	Places []Place
}

// Place is an element that breaks a rule.
type Place struct {
	Target string // a CSS selector; several for one inside a frame
	HTML   string // of the element, cut short
	Why    string // what is wrong with it
}

// String tells a violation in some lines of words.
func (v Violation) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s): %s", v.Rule, v.Impact, v.Help)
	for _, p := range v.Places {
		fmt.Fprintf(&b, "\n\t%s: %s\n\t\t%s", p.Target, p.Why, p.HTML)
	}
	return b.String()
}

// tags are the rules that pages are held to: WCAG 2.2 AA and good practice.
var tags = []string{"wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"}

// Check runs the rules on the page that a tab shows, in the state that it is in,
// and returns what it breaks, nil for nothing.
func Check(tab context.Context) ([]Violation, error) {
	text, err := script()
	if err != nil {
		return nil, err
	}
	there, err := chromedp.Run(tab, chromedp.Evaluate[bool]("!!window.axe"))
	if err == nil && !there {
		err = chromedp.Do(tab, chromedp.Evaluate[chromedp.Void](text))
	}
	if err != nil {
		return nil, fmt.Errorf("axe: put into the page: %w", err)
	}
	options, err := json.Marshal(map[string]any{
		"runOnly":     map[string]any{"type": "tag", "values": tags},
		"resultTypes": []string{"violations"},
		"preload":     false, // of styles and media, which only rules need that are not run
	})
	if err != nil {
		return nil, fmt.Errorf("axe: %w", err)
	}
	js := fmt.Sprintf(`axe.run(document, %s).then((r) => JSON.stringify(r.violations.map((v) => ({
		Rule: v.id, Impact: v.impact, Help: v.help,
		Places: v.nodes.map((n) => ({ Target: n.target.join(" "), HTML: n.html.slice(0, 200), Why: [...n.any, ...n.all, ...n.none].map((c) => c.message).join("; ") })),
	}))))`, options)
	answer, err := chromedp.Run(tab, chromedp.Evaluate[string](js, chromedp.EvalAwaitPromise))
	if err != nil {
		return nil, fmt.Errorf("axe: check the page: %w", err)
	}
	var all []Violation
	if err := json.Unmarshal([]byte(answer), &all); err != nil {
		return nil, fmt.Errorf("axe: read what was found: %w", err)
	}
	return all, nil
}
