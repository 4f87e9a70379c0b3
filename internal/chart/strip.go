package chart

import (
	"fmt"
	"io"
	"regexp"
	"slices"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// Strip is a reading over time, drawn: the handler's leg as the middle line, the
// dog's line on it, cues and answers above, pressure below. It is the same picture
// as on the desk, without what only a person at work needs; what is still open runs
// to the end of the coded window.
type Strip struct {
	Reading  *annotate.Reading
	Measures *measure.Measures // of this reading alone; nil draws nothing that is derived
	From, To annotate.Micros   // what is drawn, both ends included; if To <= From, the whole clip
	Width    float64           // pixels, 320 to 4,000; 0 is 1,232
	ID       string            // sets ids apart from those of other strips in a page; signs other than letters, digits and hyphens are left out
	Title    string            // names the strip for who doesn't see it
	Href     string            // the desk of the reading, a path of the site: each event leads to Href#t=SECONDS; "" for no links
}

// The width of a strip, pixels.
const (
	stripWidth    = 1232
	leastWidth    = 320
	greatestWidth = 4000
)

// StripSVG writes the strip as SVG. Nothing is written if it fails.
//
// Colours and letters are attributes, legible on their own and weaker than any rule
// of a page's CSS: af-fill-NAME and af-draw-NAME take the colour of that name as
// fill and stroke, af-veil is paper laid over what was not coded, af-reach takes
// the pointer. The svg has the class af-strip, and the role img; with links it is a
// group whose first part is the image.
func StripSVG(w io.Writer, s Strip) (err error) {
	defer func() { // a page without its picture is better than no page
		if r := recover(); r != nil {
			err = fmt.Errorf("chart: draw the strip of %q: %v", s.ID, r)
		}
	}()
	if s.Reading == nil || s.Reading.Book == nil {
		return fmt.Errorf("chart: draw the strip of %q: there is no reading", s.ID)
	}
	p := s.pen()
	book := s.Reading.Book
	title := clean(s.Title)
	if title == "" {
		title = "Strip"
	}
	summary, _ := s.Words()
	href := safeHref(s.Href)
	size := fmt.Sprintf(`width="%s" height="%s" viewBox="0 0 %[1]s %[2]s"`, decimal(p.rows.width), decimal(p.rows.height))
	named := fmt.Sprintf(`role="img" aria-labelledby="%[1]s-title" aria-describedby="%[1]s-desc"`, p.id)
	outer := named
	if href != "" {
		outer = `role="group" aria-labelledby="` + p.id + `-title"`
	}
	fmt.Fprintf(&p.body, `<svg xmlns="http://www.w3.org/2000/svg" class="af-strip" id="%s" %s %s font-family="%s">`+"\n", p.id, outer, size, svgLetters)
	fmt.Fprintf(&p.body, "<title id=\"%s-title\">%s</title>\n<desc id=\"%[1]s-desc\">%[3]s</desc>\n", p.id, escape(title), escape(summary))
	if href != "" {
		p.body.WriteString("<g " + named + ">\n")
	}
	p.paint(book, s)
	if href != "" {
		p.body.WriteString("</g>\n<g class=\"af-links\" aria-hidden=\"true\">\n")
		p.links(href, itemWords)
		p.body.WriteString("</g>\n")
	}
	p.body.WriteString("</svg>\n")
	_, err = w.Write(p.body.Bytes())
	return err
}

// paint lays the layers on each other.
func (p *stripPen) paint(book *annotate.Codebook, s Strip) {
	p.group("ground", func() { p.hatching(); p.guides(book.HelpRank) })
	p.names(book.HelpRank)
	p.timeAxis()
	p.keepWindowClear(s.Reading.Window)
	p.labelDistractions()
	p.group("dog", func() { p.errors(); p.others(); p.stays(); p.dogLine(); p.breaks() })
	p.group("hidden", p.hidden)
	p.group("cues", func() { p.whiskers(whiskers(s.Measures, p.scene)); p.cues(); p.moves() })
	p.group("pressure", func() { p.rewards(); p.help(); p.pressure() })
	p.group("signs", func() { p.signs(); p.context() })
	p.group("lengths", func() { p.lengths(bouts(s.Measures, p.scene)) })
	p.group("words", p.writeLabels)
	p.outside(s.Reading.Window)
}

// pen lays the strip out.
func (s Strip) pen() *stripPen {
	scene, from, to := s.scene()
	book, r := s.Reading.Book, s.Reading
	width := s.Width
	if !(width > 0) { // also where it is no number
		width = stripWidth
	}
	width = min(max(width, leastWidth), greatestWidth)
	signs := scene.has(trackSigns)
	var lanes []string
	for _, lane := range book.Lanes {
		if slices.ContainsFunc(scene.tracks[trackContext], func(i *stripItem) bool { return i.lane == lane.Name }) {
			lanes = append(lanes, lane.Name)
		}
	}
	rows := layRows(width, newLadder(book).rankMax, r.Side, signs, lanes)
	return &stripPen{
		id: "strip-" + notPlain.ReplaceAllString(s.ID, ""), rows: rows, scene: scene,
		scale: newStripScale(from, to, rows.left+4, rows.right-4), grid: newOccupancy(rows.width, rows.height),
	}
}

var notPlain = regexp.MustCompile(`[^A-Za-z0-9-]+`)

// scene sorts the reading and says what of the clip is drawn.
func (s Strip) scene() (scene *stripScene, from, to annotate.Micros) {
	scene = newStripScene(stripItems(s.Reading))
	from, to = s.From, s.To
	if to <= from {
		from, to = 0, s.Reading.Clip.Duration
		if to <= 0 { // how long it is isn't known yet
			to = max(scene.spanOf().End, s.Reading.Window.End)
		}
	}
	return scene, from, max(to, from+1)
}
