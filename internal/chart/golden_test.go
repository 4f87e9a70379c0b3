package chart

import (
	"bytes"
	"encoding/xml"
	"flag"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// svgOf returns the figure as SVG.
func svgOf(t *testing.T, f Figure) string {
	t.Helper()
	var b bytes.Buffer
	if err := f.SVG(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestGolden(t *testing.T) {
	for name, f := range samples {
		t.Run(name, func(t *testing.T) {
			got := svgOf(t, f)
			if again := svgOf(t, f); again != got {
				t.Errorf("drawn twice, the bytes differ:\n%s", cmp.Diff(got, again))
			}
			file := filepath.Join("testdata", name+".svg")
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("%s (-want +got), -update writes it anew:\n%s", file, diff)
			}
			checkSVG(t, got)
		})
	}
}

// checkSVG fails unless text is one XML document without scripts and styles,
// with its role, names and sizes, and whose links stay on the site.
func checkSVG(t interface {
	Helper()
	Errorf(string, ...any)
}, text string) {
	t.Helper()
	allowed := map[string]bool{"svg": true, "title": true, "desc": true, "g": true, "a": true, "path": true, "circle": true, "text": true}
	d := xml.NewDecoder(strings.NewReader(text))
	var path []string
	named := map[string]bool{}
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Errorf("no XML: %v\n%s", err, text)
			return
		}
		switch token := token.(type) {
		case xml.StartElement:
			name := token.Name.Local
			if !allowed[name] {
				t.Errorf("element <%s> in the figure", name)
			}
			attributes := map[string]string{}
			for _, a := range token.Attr {
				attributes[a.Name.Local] = a.Value
				if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
					t.Errorf("attribute %s=%q on <%s>", a.Name.Local, a.Value, name)
				}
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") && a.Name.Local != "class" {
					t.Errorf("attribute %s=%q on <%s>", a.Name.Local, a.Value, name)
				}
			}
			if name == "svg" {
				if r := attributes["role"]; r != "img" && r != "group" {
					t.Errorf("role = %q, want img or group", r)
				}
				for _, a := range []string{"width", "height", "viewBox"} {
					if attributes[a] == "" {
						t.Errorf("no attribute %s on <svg>", a)
					}
				}
			}
			if name == "a" && safeHref(attributes["href"]) == "" {
				t.Errorf("link to %q", attributes["href"])
			}
			if len(path) == 1 {
				named[name] = true
			}
			path = append(path, name)
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
	if !named["title"] || !named["desc"] {
		t.Errorf("no title or no desc in the figure")
	}
	if strings.Contains(text, "style=") || strings.Contains(text, "<script") || strings.Contains(text, "<style") {
		t.Errorf("style or script in the figure:\n%s", text)
	}
}

func TestPNG(t *testing.T) {
	for _, name := range []string{"none", "gap", "hostile"} {
		f := samples[name]
		for _, dark := range []bool{false, true} {
			var b bytes.Buffer
			if err := f.PNG(&b, dark); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			picture, err := png.Decode(&b)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			width, height := f.size()
			if got := picture.Bounds().Size(); got.X != width*PNGScale || got.Y != height*PNGScale {
				t.Errorf("%s: %v, want %d×%d", name, got, width*PNGScale, height*PNGScale)
			}
			ground := lightColours.ground
			if dark {
				ground = darkColours.ground
			}
			red, green, blue, alpha := picture.At(1, 1).RGBA()
			if red>>8 != uint32(ground.R) || green>>8 != uint32(ground.G) || blue>>8 != uint32(ground.B) || alpha>>8 != 255 {
				t.Errorf("%s, dark %v: ground is %v, want %v", name, dark, picture.At(1, 1), ground)
			}
			// The title's letters are there: the library loses its font easily.
			ink := 0
			for x := edge * PNGScale; x < width; x++ {
				for y := edge * PNGScale; y < (edge+22)*PNGScale; y++ {
					if picture.At(x, y) != picture.At(1, 1) {
						ink++
					}
				}
			}
			if ink < 500 {
				t.Errorf("%s, dark %v: %d inked pixels in the title, want at least 500", name, dark, ink)
			}
		}
	}
}
