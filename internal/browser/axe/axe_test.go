package axe

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"afterwalk/internal/browser"
)

// What is vendored is what README.md says.
func TestVendored(t *testing.T) {
	text, err := script()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(text, "/*! axe v"+Version+"\n") {
		t.Errorf("the script begins with %q, want version %s", text[:min(len(text), 40)], Version)
	}
	readme, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	for what, tt := range map[string]struct {
		content []byte
		want    string
	}{"axe.min.js": {[]byte(text), sumScript}, "axe.min.js.gz": {packed, sumPacked}} {
		sum := sha256.Sum256(tt.content)
		if got := hex.EncodeToString(sum[:]); got != tt.want {
			t.Errorf("%s has the sum %s, want %s", what, got, tt.want)
		}
		if !strings.Contains(string(readme), tt.want) {
			t.Errorf("README.md lacks the sum of %s", what)
		}
	}
	if !strings.Contains(string(readme), Version) {
		t.Errorf("README.md does not name version %s", Version)
	}
}

// A page with known faults, one for each kind of rule, and one without.
func TestCheck(t *testing.T) {
	tab := browser.ForTest(t)
	const head = `<!doctype html><html lang="en"><head><title>Tansy</title></head><body>`
	for _, tt := range []struct{ name, page, want string }{
		{"sound", head + `<main><h1>Tansy</h1><label>Venue <input></label></main>`, ""},
		{"a field without a name: WCAG 2.0 A, 4.1.2", head + `<main><h1>Tansy</h1><input></main>`, "label"},
		{"grey on white: WCAG 2.0 AA, 1.4.3", head + `<main><h1>Tansy</h1><p style="color:#aaa">Alder Lane</p></main>`, "color-contrast"},
		{"a broken purpose of a field: WCAG 2.1 AA, 1.3.5", head + `<main><h1>Tansy</h1><label>Name <input autocomplete="dog"></label></main>`, "autocomplete-valid"},
		{"small targets beside each other: WCAG 2.2 AA, 2.5.8", head + `<main><h1>Tansy</h1><button style="width:9px;height:9px;padding:0;border:0" aria-label="a"></button><button style="width:9px;height:9px;padding:0;border:0" aria-label="b"></button></main>`, "target-size"},
		{"text outside every landmark: good practice", head + `<main><h1>Tansy</h1></main><p>Alder Lane</p>`, "region"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			err := chromedp.Do(tab, chromedp.Navigate("about:blank"),
				chromedp.Evaluate[chromedp.Void]("document.open(); document.write(`"+tt.page+"`); document.close()"))
			if err != nil {
				t.Fatal(err)
			}
			all, err := Check(tab)
			if err != nil {
				t.Fatal(err)
			}
			var rules []string
			for _, v := range all {
				rules = append(rules, v.Rule)
				if v.Help == "" || len(v.Places) == 0 || v.Places[0].Target == "" || v.Places[0].Why == "" {
					t.Errorf("a violation without words: %+v", v)
				}
			}
			if got := strings.Join(rules, " "); got != tt.want {
				t.Errorf("Check finds %q, want %q: %v", got, tt.want, all)
			}
		})
	}
}
