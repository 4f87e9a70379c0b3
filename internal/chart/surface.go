package chart

import (
	gochart "github.com/wcharczuk/go-chart/v2"
	"github.com/wcharczuk/go-chart/v2/drawing"
)

// sub is how many units of drawing a pixel has: the library's coordinates are
// whole numbers, and a line may lie between two pixels.
const sub = 10

// surface is what figures are drawn on: the library's renderer, in units of
// 1/sub pixel, and what that one cannot say.
type surface interface {
	gochart.Renderer

	// textAt writes body with its baseline at y; x is its start, middle or end.
	textAt(body string, x, y int, l letters)
	// openGroup starts a group until closeGroup; pictures ignore groups.
	openGroup(g group)
	closeGroup()
	// hit adds an invisible disc that takes the pointer.
	hit(x, y, radius int)
}

// letters is how text is written.
type letters struct {
	class  string
	size   float64 // pixels
	ink    drawing.Color
	anchor anchor
}

// anchor is the place of a text that its x names.
type anchor int

const (
	atStart anchor = iota
	atMiddle
	atEnd
)

// group is a part of the figure that is named, leads somewhere, or is one image
// to who cannot see it.
type group struct {
	class string
	href  string // leads there, if not ""
	title string // tooltip and name
	image bool
}

// palette is the colours of a figure.
type palette struct {
	ground, ink, soft, muted, line, accent drawing.Color
}

// The colours of the pages, light and dark.
var (
	lightColours = palette{
		ground: colour(0xf7f4ea), ink: colour(0x23261f), soft: colour(0x4b4d43),
		muted: colour(0x66624f), line: colour(0xddd7c6), accent: colour(0x2f6545),
	}
	darkColours = palette{
		ground: colour(0x1d1f1b), ink: colour(0xe9e4d6), soft: colour(0xc9c4b5),
		muted: colour(0xa59f90), line: colour(0x3a3c35), accent: colour(0x9cc3a0),
	}
)

// colour returns the opaque colour 0xRRGGBB.
func colour(rgb int) drawing.Color {
	return drawing.Color{R: uint8(rgb >> 16), G: uint8(rgb >> 8), B: uint8(rgb), A: 255}
}

// none is a colour that is not drawn. The library takes the zero Color as unset
// and replaces it.
var none = drawing.ColorTransparent
