// Package chart draws figures of values over dates, as SVG for pages and PNG to
// keep, and a reading over time as a [Strip]. A [Figure] describes what is to be
// seen; who computed the values, and where a point leads, is the caller's business.
//
//	figure := chart.Figure{
//		Title:  "Out of heel position",
//		YLabel: "share of heel time",
//		Format: chart.Percent,
//		Points: []chart.Point{{At: recorded, Value: &share, Low: &low, High: &high, Label: "23 %"}},
//	}
//	err := figure.SVG(w)
//
// Conventions:
//
//   - The date axis is true: distances are calendar time, by the clock of the
//     zone that each At carries, so that a day has one length and one name
//     wherever and whenever the figure is drawn. Only marks of one day that would
//     hide each other are moved apart, by a few pixels.
//   - A point without a value interrupts the line. Values that are not finite
//     are no values. Nothing outside the y range is drawn: a mark stops short of
//     the edge and points beyond it by an arrow, a whisker loses its cap.
//   - Every colour is doubled by a shape: filled circle, hollow diamond (window
//     picked by hand), cross (no value).
//   - Text in the figure is shortened to the room there is. The whole text
//     stands in the tooltip of its point, in [Figure.Alt] and in [Figure.Table].
//   - The same figure gives the same bytes.
//
// The SVG has no style attribute and no style element. Colours and letters are
// presentation attributes, legible on their own and weaker than any rule of a
// page's CSS. Classes:
//
//	af-figure   the svg element; has role "img", or "group" if points lead somewhere
//	af-ground   the paper behind it
//	af-title    the title
//	af-ylabel   what the values are, under the title
//	af-note     legend of the shapes that occur
//	af-axis     the line of dates; af-tick its marks
//	af-grid     lines across, one for each value on the y axis
//	af-text     dates and values on the axes
//	af-below    venue and the like, under the dates
//	af-line     the line between values
//	af-whisker  intervals
//	af-label    the value beside its mark
//	af-mark     group of one point, linked or not; af-link if it leads somewhere
//	af-point    filled mark; af-picked hollow mark; af-none cross
//	af-beyond   arrow at a mark whose value lies outside the y range
//	af-hit      invisible disc, 24 pixels wide where there is room, that takes
//	            the pointer
//	af-empty    "Nothing to draw yet"; af-hint what to do
//
// A page's CSS may make af-ylabel, af-below and af-empty italic. For a dark page
// it gives fill to af-ground, af-picked, af-point and the texts, and stroke to
// the others.
//
// A strip has classes of its own, see [StripSVG]. Its rows and shapes are those of the
// strip on the desk (ui/static/js/strip), which draws the same on a canvas: what is
// changed in one is changed in the other.
//
// This package alone imports the drawing library, and of it uses the frame
// (ranges, boxes, order of drawing), the letters' measures and the PNG.
package chart
