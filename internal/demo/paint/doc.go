// Package paint draws flat shapes with smooth edges into a picture: polygons,
// and strokes that may be thicker at one end than at the other. Coordinates are
// pixels, X to the right and Y down; the middle of the first pixel is (0.5, 0.5).
// It knows nothing of what is drawn.
//
//	picture := paint.New(960, 540)
//	picture.Polygon(grass, paint.Point{0, 300}, paint.Point{960, 300}, paint.Point{960, 540}, paint.Point{0, 540})
package paint
