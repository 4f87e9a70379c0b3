package chart

import (
	"bytes"
	"fmt"
	"io"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// Strip is a reading over time, drawn: the handler's leg as the middle line, the
// dog's line on it, cues and answers above, pressure below. It is the same picture
// as on the desk, without what only a person at work needs.
type Strip struct {
	Reading  *annotate.Reading
	Measures *measure.Measures // of this reading alone; nil draws nothing that is derived
	From, To annotate.Micros   // what is drawn; if To <= From, the whole clip
	Width    float64           // pixels, at least 320; 0 is 1232
	ID       string            // sets ids apart from those of other strips in a page: letters, digits, hyphens
	Title    string            // names the strip for who doesn't see it
	Href     string            // the desk of the reading; each event leads to Href#t=SECONDS; "" for no links
}

// StripSVG writes the strip as SVG. Nothing is written if it fails.
func StripSVG(w io.Writer, s Strip) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("chart: draw the strip of %q: %v", s.ID, r)
		}
	}()
	if s.Reading == nil || s.Reading.Book == nil {
		return fmt.Errorf("chart: draw the strip of %q: there is no reading", s.ID)
	}
	var picture bytes.Buffer
	_, err = w.Write(picture.Bytes())
	return err
}
