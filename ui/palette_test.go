package ui

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The dark colours stand twice in tokens.css, for a system that is set dark and
// for the setting that asks for it: the two have to be alike, and to cover the
// colours of paper.
func TestDarkStandsTwiceAlike(t *testing.T) {
	b, err := fs.ReadFile(files, "static/css/tokens.css")
	if err != nil {
		t.Fatal(err)
	}
	block := func(selector string) []string {
		_, rest, ok := strings.Cut(string(b), "\n"+selector+" {\n")
		if !ok {
			_, rest, ok = strings.Cut(string(b), "\n  "+selector+" {\n")
		}
		if !ok {
			t.Fatalf("tokens.css has nothing for %s", selector)
		}
		body, _, _ := strings.Cut(rest, "}")
		found := regexp.MustCompile(`[a-z-]+: [^;]+;`).FindAllString(body, -1)
		slices.Sort(found)
		return found
	}
	system, asked := block(`:root:not([data-look="light"])`), block(`:root[data-look="dark"]`)
	if !slices.Equal(system, asked) {
		t.Errorf("the dark colours differ:\n%v\n%v", system, asked)
	}
	for _, line := range block(":root") {
		name, value, _ := strings.Cut(line, ":")
		if strings.Contains(value, "#") && !slices.ContainsFunc(asked, func(s string) bool { return strings.HasPrefix(s, name+":") }) {
			t.Errorf("%s has no dark colour", name)
		}
	}
}
