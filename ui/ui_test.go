package ui

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// colours returns the colours of tokens.css by name, of the light or dark theme.
func colours(t *testing.T, dark bool) map[string]string {
	t.Helper()
	b, err := fs.ReadFile(files, "static/css/tokens.css")
	if err != nil {
		t.Fatal(err)
	}
	light, night, ok := strings.Cut(string(b), "@media (prefers-color-scheme: dark)")
	if !ok {
		t.Fatal("tokens.css has no dark theme")
	}
	text := light
	if dark {
		text = night
	}
	found := map[string]string{}
	for _, m := range regexp.MustCompile(`--([a-z-]+): #([0-9a-f]{6});`).FindAllStringSubmatch(text, -1) {
		found[m[1]] = m[2]
	}
	return found
}

// contrast returns the contrast of two colours, 1 to 21: WCAG 2.2, “relative
// luminance” and “contrast ratio”.
func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminance(hex string) float64 {
	channel := func(i int) float64 {
		v, err := strconv.ParseUint(hex[i:i+2], 16, 8)
		if err != nil {
			panic(err)
		}
		c := float64(v) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(0) + 0.7152*channel(2) + 0.0722*channel(4)
}

func TestContrastFormula(t *testing.T) {
	// Black on white is 21 : 1 by definition; #767676 on white is known as the
	// lightest grey that reaches 4.5 (4.54).
	for _, tt := range []struct {
		a, b string
		want float64
	}{{"000000", "ffffff", 21}, {"ffffff", "ffffff", 1}, {"767676", "ffffff", 4.54}} {
		if got := contrast(tt.a, tt.b); math.Abs(got-tt.want) > 0.005 {
			t.Errorf("contrast(%s, %s) = %.3f, want %.2f", tt.a, tt.b, got, tt.want)
		}
	}
}

// WCAG 2.2 AA: 4.5 for text (1.4.3), 3 for borders of controls and for what a
// graphic needs to be understood (1.4.11).
func TestContrast(t *testing.T) {
	pairs := []struct {
		least    float64
		on, over string // names, separated by spaces
	}{
		{4.5, "ink ink-soft muted accent help correction", "paper paper-raised"},
		{4.5, "ink ink-soft muted", "paper-sunk"},
		{4.5, "ink ink-soft accent", "accent-tint selection"},
		{4.5, "ink ink-soft correction", "error-tint"},
		{4.5, "accent-ink", "accent"},
		{4.5, "ink", "error-fill stay-fill"},
		{3, "line-strong", "paper paper-raised"},
		{3, "stay-line", "paper stay-fill"},
		{3, "accent", "paper paper-raised paper-sunk selection error-tint"},
	}
	for _, dark := range []bool{false, true} {
		c := colours(t, dark)
		for _, p := range pairs {
			for _, on := range strings.Fields(p.on) {
				for _, over := range strings.Fields(p.over) {
					t.Run(fmt.Sprintf("dark=%t/%s on %s", dark, on, over), func(t *testing.T) {
						if c[on] == "" || c[over] == "" {
							t.Fatalf("%s is %q, %s is %q: both have to be given", on, c[on], over, c[over])
						}
						if got := contrast(c[on], c[over]); got < p.least {
							t.Errorf("contrast %.2f, want at least %.1f", got, p.least)
						}
					})
				}
			}
		}
	}
}

func TestTokensAreDescribed(t *testing.T) {
	b, err := fs.ReadFile(files, "static/css/tokens.css")
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(b), "*/")
	for _, m := range regexp.MustCompile(`(?m)^\s+(--[a-z-]+):`).FindAllStringSubmatch(rest, -1) {
		if !strings.Contains(head, m[1]) && !strings.HasPrefix(m[1], "--size-") {
			t.Errorf("%s is not in the list at the top of tokens.css", m[1])
		}
	}
}

// Every property that a style sheet or a script uses is one of tokens.css, or is
// set in the same file.
func TestTokensExist(t *testing.T) {
	tokens, err := fs.ReadFile(files, "static/css/tokens.css")
	if err != nil {
		t.Fatal(err)
	}
	walk(t, func(name string, content string) {
		for _, m := range regexp.MustCompile(`var\((--[a-z-]+)`).FindAllStringSubmatch(content, -1) {
			if !strings.Contains(string(tokens), m[1]+":") && !strings.Contains(content, m[1]+":") {
				t.Errorf("%s uses %s, which tokens.css does not set", name, m[1])
			}
		}
	})
}

// Nothing inline: the content security policy refuses it.
func TestNothingInline(t *testing.T) {
	bad := regexp.MustCompile(`(?i)<[a-z][^>]*\s(style|on[a-z]+)\s*=|<style\b|javascript:`)
	remark := regexp.MustCompile(`(?s)\{\{/\*.*?\*/.*?\}\}`)
	open := regexp.MustCompile(`(?i)<script\b[^>]*>`)
	walk(t, func(name, content string) {
		if path.Ext(name) != ".html" {
			return
		}
		content = remark.ReplaceAllString(content, "")
		if m := bad.FindString(content); m != "" {
			t.Errorf("%s has %q", name, m)
		}
		for _, m := range open.FindAllString(content, -1) {
			if !strings.Contains(m, "src=") && !strings.Contains(m, "application/json") {
				t.Errorf("%s has an inline script: %q", name, m)
			}
		}
	})
}

// Every file that is asked for is there, and every file on disk is embedded.
func TestFilesAreThere(t *testing.T) {
	asked := regexp.MustCompile(`(?:href|src)="/assets/([^"{]+)"`)
	imported := regexp.MustCompile(`(?m)^(?:import|export)\b[^;]*?from "(\.[^"]+)"`)
	walk(t, func(name, content string) {
		for _, m := range asked.FindAllStringSubmatch(content, -1) {
			if _, err := fs.Stat(files, "static/"+m[1]); err != nil {
				t.Errorf("%s asks for /assets/%s, which is not there", name, m[1])
			}
		}
		if path.Ext(name) == ".js" {
			for _, m := range imported.FindAllStringSubmatch(content, -1) {
				if _, err := fs.Stat(files, path.Join(path.Dir(name), m[1])); err != nil {
					t.Errorf("%s imports %s, which is not there", name, m[1])
				}
			}
		}
	})
	for _, dir := range []string{"templates", "static"} {
		err := fs.WalkDir(os.DirFS("."), dir, func(name string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() {
				if _, err := fs.Stat(files, name); err != nil {
					t.Errorf("%s is on disk but not embedded", name)
				}
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	}
}

// walk calls do with every embedded file.
func walk(t *testing.T, do func(name, content string)) {
	t.Helper()
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := fs.ReadFile(files, name)
		if err == nil {
			do(name, string(b))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
