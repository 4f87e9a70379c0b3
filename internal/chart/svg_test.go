package chart

import (
	"bytes"
	"math"
	"strings"
	"sync"
	"testing"
	"time"

	gochart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// The renderer serves the library's own figures too, turned letters, curves and
// arcs among them, and escapes what they write.
func TestRendererServesTheLibrary(t *testing.T) {
	provider := func(width, height int) (gochart.Renderer, error) {
		return &svgRenderer{width: width / sub, height: height / sub, title: hostile, desc: hostile}, nil
	}
	chart := gochart.Chart{
		Title: `<b>&"'`, Width: 6000, Height: 3000,
		XAxis:  gochart.XAxis{Name: "<x>", TickStyle: gochart.Style{TextRotationDegrees: 45}},
		YAxis:  gochart.YAxis{Name: "&y"},
		Series: []gochart.Series{gochart.ContinuousSeries{XValues: []float64{1, 2, 3}, YValues: []float64{1, 4, 9}, Style: gochart.Style{StrokeDashArray: []float64{50, 20}, StrokeColor: drawing.ColorBlack.WithAlpha(100), DotWidth: 30}}},
	}
	pie := gochart.PieChart{Width: 5120, Height: 5120, Values: []gochart.Value{{Value: 5, Label: `<&"`}, {Value: 3, Label: "b"}}}
	ring := gochart.DonutChart{Width: 5120, Height: 5120, Values: []gochart.Value{{Value: 5, Label: "a"}}}
	for name, render := range map[string]func(gochart.RendererProvider, *bytes.Buffer) error{
		"chart": func(p gochart.RendererProvider, w *bytes.Buffer) error { return chart.Render(p, w) },
		"pie":   func(p gochart.RendererProvider, w *bytes.Buffer) error { return pie.Render(p, w) },
		"ring":  func(p gochart.RendererProvider, w *bytes.Buffer) error { return ring.Render(p, w) },
	} {
		var b bytes.Buffer
		if err := render(provider, &b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		checkSVG(t, b.String())
		if name == "chart" {
			for _, want := range []string{"&lt;b&gt;&amp;&#34;&#39;</text>", `transform="rotate(45 `, `stroke-dasharray="5 2"`, `stroke-opacity="0.39"`, `r="3"`} {
				if !strings.Contains(b.String(), want) {
					t.Errorf("%s lacks %s:\n%s", name, want, b.String())
				}
			}
		}
	}
}

// A quarter turn clockwise from the right ends below, a full one where it began.
func TestArc(t *testing.T) {
	for _, row := range []struct {
		delta float64
		want  string
	}{
		{math.Pi / 2, `d="M20 10A10 10 0 0 1 17.07 17.07A10 10 0 0 1 10 20"`},
		{-math.Pi / 2, `d="M20 10A10 10 0 0 0 17.07 2.93A10 10 0 0 0 10 0"`},
		{2 * math.Pi, `d="M20 10A10 10 0 0 1 0 10A10 10 0 0 1 20 10"`},
	} {
		s := &svgRenderer{}
		s.SetFillColor(drawing.ColorBlack)
		s.ArcTo(10*sub, 10*sub, 10*sub, 10*sub, 0, row.delta)
		s.Fill()
		if got := s.body.String(); !strings.Contains(got, row.want) {
			t.Errorf("arc of %v: %s, want %s", row.delta, got, row.want)
		}
	}
}

// Fractions of a pixel arrive, and what is not to be seen is not written.
func TestFractions(t *testing.T) {
	s := &svgRenderer{}
	s.SetStrokeColor(drawing.ColorBlack)
	s.SetStrokeWidth(0.5 * sub)
	s.SetFillColor(none)
	s.Circle(2.7*sub, 15, 20)
	s.FillStroke()
	if got, want := s.body.String(), `<circle cx="1.5" cy="2" r="2.7" fill="none" stroke="#000000" stroke-width="0.5"/>`+"\n"; got != want {
		t.Errorf("circle %s, want %s", got, want)
	}
	s.body.Reset()
	s.MoveTo(0, 0)
	s.LineTo(1, 1)
	s.Fill()
	if got := s.body.String(); got != "" {
		t.Errorf("unseen path written: %s", got)
	}
}

// A figure whose points lead somewhere is a group, so that the links in it are
// not swallowed by an image; without links it is one image.
func TestRole(t *testing.T) {
	linked := svgOf(t, samples["ladder"])
	if !strings.Contains(linked, `role="group"`) || !strings.Contains(linked, `<g role="img"><title>Highest pressure used</title>`) {
		t.Errorf("figure with links is no group with an image in it:\n%.400s", linked)
	}
	image, rest, _ := strings.Cut(linked, "</g>")
	if strings.Contains(image, "<a ") || strings.Count(rest, "<a ") != 5 {
		t.Errorf("links inside the image, or not 5 after it:\n%s", linked)
	}
	if plain := svgOf(t, samples["one"]); !strings.Contains(plain, `role="img"`) || strings.Contains(plain, "<a ") {
		t.Errorf("figure without links is no image:\n%.400s", plain)
	}
}

// Pages ask for figures at the same time.
func TestAtTheSameTime(t *testing.T) {
	want := svgOf(t, samples["gap"])
	var wait sync.WaitGroup
	for range 3 {
		wait.Go(func() {
			var svg, png bytes.Buffer
			if err := samples["gap"].SVG(&svg); err != nil || svg.String() != want {
				t.Errorf("drawn beside others: %v, same bytes %v", err, svg.String() == want)
			}
			if err := samples["none"].PNG(&png, true); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
}

// Nothing of a picture that failed is written.
func TestNothingHalfWritten(t *testing.T) {
	f := Figure{
		Title:  "Breaks in stays",
		Format: func(float64) string { panic("cannot") },
		Points: []Point{{At: on(time.May, 2), Value: num(1)}},
	}
	for name, draw := range map[string]func(*bytes.Buffer) error{
		"SVG": func(b *bytes.Buffer) error { return f.SVG(b) },
		"PNG": func(b *bytes.Buffer) error { return f.PNG(b, false) },
	} {
		var b bytes.Buffer
		err := draw(&b)
		if err == nil || !strings.Contains(err.Error(), `draw "Breaks in stays": cannot`) || b.Len() > 0 {
			t.Errorf("%s = %v with %d bytes written, want an error and none", name, err, b.Len())
		}
	}
}

func TestPlacing(t *testing.T) {
	r := rect{10, 10, 20, 20}
	for _, row := range []struct {
		name           string
		x0, y0, x1, y1 int
		want           bool
	}{
		{"through", 0, 0, 30, 30, true},
		{"inside", 12, 12, 13, 13, true},
		{"past a corner", 0, 15, 12, 30, false},
		{"beside, upright", 5, 0, 5, 30, false},
		{"through, upright", 15, 0, 15, 30, true},
		{"ends before it", 0, 15, 9, 15, false},
		{"ends in it", 0, 15, 11, 15, true},
	} {
		if got := r.crossed(row.x0, row.y0, row.x1, row.y1); got != row.want {
			t.Errorf("%s: crossed = %v, want %v", row.name, got, row.want)
		}
	}
	if r.overlaps(rect{20, 10, 30, 20}) || !r.overlaps(rect{19, 19, 30, 30}) {
		t.Error("a common side must not count as overlap, a common corner region must")
	}
}
