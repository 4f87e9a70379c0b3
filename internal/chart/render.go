package chart

import (
	"bytes"
	"fmt"
	"io"

	gochart "github.com/wcharczuk/go-chart/v2"
)

// SVG writes the figure as SVG. Nothing is written if it fails.
func (f Figure) SVG(w io.Writer) error {
	return f.render(w, lightColours, func(int, int) (gochart.Renderer, error) {
		marks, _ := f.marks()
		width, height := f.size()
		desc := f.Alt()
		if d := clean(f.Desc); d != "" {
			desc = d + " " + desc
		}
		return &svgRenderer{
			width: width, height: height,
			title: f.name(), desc: desc,
			links: hasLinks(marks),
		}, nil
	})
}

// PNG writes the figure as a picture of [PNGScale] times its size, on light or
// dark paper. Its letters are Latin, Greek and Cyrillic; others show as boxes.
// Nothing is written if it fails.
func (f Figure) PNG(w io.Writer, dark bool) error {
	width, height := f.size()
	colours := lightColours
	if dark {
		colours = darkColours
	}
	return f.render(w, colours, func(int, int) (gochart.Renderer, error) {
		return newPNG(width, height)
	})
}

// render lets the library draw the figure, and writes it if that went well. A
// panic of the library becomes an error: a page without a figure is better than
// no page.
func (f Figure) render(w io.Writer, colours palette, provider gochart.RendererProvider) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("chart: draw %q: %v", clean(f.Title), r)
		}
	}()
	var picture bytes.Buffer
	if err := newPlot(f, colours).draw(provider, &picture); err != nil {
		return fmt.Errorf("chart: draw %q: %w", clean(f.Title), err)
	}
	_, err = w.Write(picture.Bytes())
	return err
}

// draw lets the library lay out and draw the plot.
func (p *plot) draw(provider gochart.RendererProvider, w io.Writer) error {
	letters, err := font()
	if err != nil {
		return err
	}
	return gochart.Chart{
		Width:  p.width * sub,
		Height: p.height * sub,
		DPI:    72, // a point is a pixel
		Font:   letters,
		Background: gochart.Style{
			ClassName: "af-ground",
			FillColor: p.colours.ground, StrokeColor: none,
			Padding: gochart.NewBox(p.top*sub, p.left*sub, p.right*sub, p.bottom*sub),
		},
		Canvas: gochart.Style{FillColor: none, StrokeColor: none},
		// The plot draws its own axes: those of the library have no grid line at
		// their ends, one class for lines and letters, and fixed distances.
		XAxis:          gochart.XAxis{Style: gochart.Hidden(), Range: &gochart.ContinuousRange{Min: p.from, Max: p.to}},
		YAxis:          gochart.YAxis{Style: gochart.Hidden(), Range: &gochart.ContinuousRange{Min: p.low, Max: p.high}},
		YAxisSecondary: gochart.HideYAxis(),
		Series:         []gochart.Series{p},
	}.Render(provider, w)
}
