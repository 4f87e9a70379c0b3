package mediatest

// Columns and rows of the board that carries a frame's number.
const (
	columns = 8
	rows    = 4
	bits    = 16
)

// draw fills a grey picture of w × h, one byte a pixel, with the board of a
// number from 0 to 65535.
func draw(grey []byte, w, h, index int) {
	for y := range h {
		row := y * rows / h
		for x := range w {
			cell := row*columns + x*columns/w
			bit := index>>(bits-1-cell%bits)&1 == 1
			if cell >= bits {
				bit = !bit
			}
			v := byte(16)
			if bit {
				v = 235
			}
			grey[y*w+x] = v
		}
	}
}

// drawTurned fills a grey picture of w × h with the board of a number, drawn
// upright and then turned counter-clockwise by 90, 180 or 270 degrees, as a camera
// stores it that was held at that angle.
func drawTurned(grey []byte, w, h, index, degrees int) {
	upright := make([]byte, w*h)
	if degrees == 180 {
		draw(upright, w, h, index)
	} else {
		draw(upright, h, w, index) // h wide, w high
	}
	for y := range h {
		for x := range w {
			at := upright[0]
			switch degrees { // where (x, y) comes to lie when it is turned clockwise
			case 90:
				at = upright[x*h+(h-1-y)]
			case 180:
				at = upright[(h-1-y)*w+(w-1-x)]
			case 270:
				at = upright[(w-1-x)*h+y]
			}
			grey[y*w+x] = at
		}
	}
}

// Index reads the number from an upright grey picture of w × h; -1 if its check
// fails.
func Index(grey []byte, w, h int) int {
	index := 0
	for cell := range bits {
		bit := [2]bool{}
		for half := range 2 {
			c := cell + half*bits
			x := (c%columns*2 + 1) * w / (columns * 2)
			y := (c/columns*2 + 1) * h / (rows * 2)
			bit[half] = grey[y*w+x] >= 128
		}
		if bit[0] == bit[1] {
			return -1
		}
		index <<= 1
		if bit[0] {
			index |= 1
		}
	}
	return index
}

// ReadIndexJS is the text of a JavaScript function (canvas, frame) that draws a
// frame (a video element or whatever drawImage takes) into a canvas and returns
// its number, -1 if there is none to read. It looks at the canvas as it is if
// frame is null.
const ReadIndexJS = `(canvas, frame) => {
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (frame) {
    const w = frame.videoWidth || frame.displayWidth || frame.width;
    const h = frame.videoHeight || frame.displayHeight || frame.height;
    if (!w || !h) return -1;
    if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
    context.drawImage(frame, 0, 0, w, h);
  }
  const { width, height } = canvas;
  if (!width || !height) return -1;
  const { data } = context.getImageData(0, 0, width, height);
  const white = (cell) => {
    const x = Math.floor((cell % 8 * 2 + 1) * width / 16);
    const y = Math.floor((Math.floor(cell / 8) * 2 + 1) * height / 8);
    const at = (y * width + x) * 4;
    return data[at + 3] === 255 && data[at + 1] >= 128;
  };
  let index = 0;
  for (let cell = 0; cell < 16; cell++) {
    const bit = white(cell);
    if (bit === white(cell + 16)) return -1;
    index = index * 2 + (bit ? 1 : 0);
  }
  return index;
}`
