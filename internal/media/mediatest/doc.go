// Package mediatest makes clips for tests: real files by ffmpeg, in which every
// frame carries its own number, so that a test can tell from pixels alone which
// frame is shown. Names in [Names] say what is special about each.
//
// A frame is a chessboard of 8 × 4 cells: the upper two rows are the 16 bits of
// the frame's number, most significant first, white for 1; the lower two rows
// are the same bits inverted, as a check. It reads at any size and any upright
// shape. [ReadIndexJS] reads it in a browser, [Index] in Go.
//
// Clips are kept between runs in the user's cache folder, so that the checks of
// several packages make each once. Tests must not change them; [Clip.CopyTo]
// gives a file of one's own.
//
//	clip := mediatest.Make(t, "vfr90k")
//	table, err := tools.Frames(t.Context(), clip.Path, nil)
package mediatest
