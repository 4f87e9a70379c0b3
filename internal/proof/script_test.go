package proof

import (
	"afterwalk/annotate"

	"github.com/chromedp/chromedp/kb"
)

// press is what the coder does at one frame of the clip: keys one after the
// other. The first is held down until another frame is shown if until is set.
type press struct {
	at     int
	keys   string
	until  int
	note   string   // typed after the keys, as a note to what is selected
	chosen string   // keys that select something, and no coding: pressed at frame at
	then   int      // a frame to go to after that
	want   []wanted // events that begin with this press, as they are in the end
}

// wanted is an event of the reading, its times as frames.
type wanted struct {
	code     string
	from, to int
	details  annotate.Details
	note     string
}

// still is the end of a span whose end is not coded.
const still = -1

type detail func(*annotate.Details)

func kind(name string) detail { return func(d *annotate.Details) { d.Kind = name } }
func level(v float64) detail  { return func(d *annotate.Details) { d.Level = &v } }
func taps(n int) detail       { return func(d *annotate.Details) { d.Taps = &n } }

func span(code string, from, to int, details ...detail) wanted {
	w := wanted{code: code, from: from, to: to}
	for _, d := range details {
		d(&w.details)
	}
	return w
}

func moment(code string, at int, details ...detail) wanted { return span(code, at, at, details...) }

func begins(w ...wanted) []wanted { return w }

// Keys that a rune can't say, and two that it says badly.
const (
	undoKey, redoKey = "↶", "↷"
	endLater         = `"` // Shift and the key of the apostrophe
	startLater       = "'"
)

// scriptFrames is how many frames the coded clip has, 30 to a second.
const scriptFrames = 2250

// script is a session of heel work, stays and cues, key by key, by the default
// book. Which key does what is told by the desk's own help (?).
var script = []press{
	// Heel work. A name first, which asks for nothing.
	{at: 12, keys: "N", want: begins(moment("name", 12))},
	{at: 20, keys: "v", want: begins(moment("heel", 20))},
	{at: 50, keys: "u", want: begins(moment("did", 50), span("ex-heel", 50, 815))}, // the answer starts the exercise
	{at: 60, keys: "p2", want: begins(moment("praise", 60, kind("touch")))},
	{at: 90, keys: "w", want: begins(span("ahead", 90, 120))},
	{at: 97, keys: "r", want: begins(moment("voice", 100))},      // put right below
	{at: 120, keys: "s", want: begins(span("behind", 120, 150))}, // its opposite replaces it
	{at: 150, keys: "s"}, // the same key ends it
	{at: 200, keys: "a", want: begins(span("wide", 200, 220))},
	{at: 220, keys: "d", want: begins(span("crowding", 220, 235))},
	{at: 235, keys: "e"},
	{at: 240, keys: "q1", want: begins(span("off-task", 240, 270, kind("scent")))},
	{at: 270, keys: "e"},
	{at: 300, keys: "y1", want: begins(moment("turn", 300, kind("left")))},
	{at: 420, keys: "y3", want: begins(moment("turn", 420, kind("about")))},
	{at: 442, keys: "r", want: begins(moment("voice", 442))}, // a hand's breadth too early
	{at: 450, keys: "s", want: begins(span("behind", 450, 530))},
	{at: 470, keys: "t", want: begins(moment("tone", 470, taps(2)))},
	{at: 480, keys: "t"}, // within a second: a tap more
	{at: 500, keys: "g9", want: begins(moment("stim", 500, level(9), taps(1)))},
	{at: 508, keys: "G7", until: 524, want: begins(span("stim-held", 508, 524, level(7)))},
	{at: 530, keys: "e"},
	{at: 538, keys: "m" + startLater + startLater, want: begins(moment("marker", 540))},
	{at: 570, keys: "w", want: begins(span("ahead", 570, 600))},
	{at: 580, keys: "y2", want: begins(moment("turn", 580, kind("right")))},
	{at: 600, keys: "w"},
	{at: 610, keys: "a", want: begins(span("wide", 610, 640))},
	{at: 637, keys: "a" + endLater + endLater + endLater},
	{at: 650, keys: "Q", want: begins(span("hidden", 650, 665))},
	{at: 665, keys: "Q"},
	{at: 700, keys: "s", want: begins(span("behind", 700, 760))},
	{at: 720, keys: "v", want: begins(moment("heel", 720))}, // reminds of what is being worked
	{at: 725, keys: "f", until: 745, want: begins(span("leash-guide", 725, 745))},
	{at: 760, keys: "e"},
	{at: 770, keys: "y1", want: begins(moment("turn", 770, kind("left")))}, // the heel work ends too soon to tell
	{at: 780, keys: "r", want: begins(moment("voice", 780))},               // too late: the dog is right again
	{at: 800, keys: "h", want: begins(moment("halt", 800))},
	{at: 815, keys: "e", want: begins(moment("did", 815), span("ex-sit", 815, 860))}, // e answers
	{at: 825, keys: "P1", want: begins(moment("paid", 825, kind("food")))},

	// A down with everything between cue and answer, then a stay.
	{at: 860, keys: "x", want: begins(moment("down", 860))}, // ends the sit-stay
	{at: 900, keys: "i", want: begins(moment("no-answer", 900))},
	{at: 910, keys: "x", want: begins(moment("down", 910))},
	{at: 930, keys: "o", want: begins(moment("other", 930))},
	{at: 940, keys: "r", want: begins(moment("voice", 940))},
	{at: 950, keys: "u", want: begins(moment("did", 950), span("ex-down", 950, 1580))},
	{at: 980, keys: "b2", want: begins(span("broke", 980, 1020, kind("got up")))},
	{at: 1000, keys: "B", want: begins(moment("body", 1000))},
	{at: 1020, keys: "e"},
	{at: 1070, keys: "D3", want: begins(span("distraction", 1070, 1140, kind("vehicle")))},
	{at: 1090, keys: "b4", want: begins(span("broke", 1090, 1105, kind("crept")))},
	{at: 1105, keys: "b"},
	{at: 1130, keys: "S3", want: begins(moment("stress", 1130, kind("yawn")))},
	{at: 1140, keys: "D"},
	{at: 1160, keys: "Q", want: begins(span("hidden", 1160, 1190))},
	{at: 1190, keys: "Q"},
	{at: 1195, keys: "S2", want: begins(moment("stress", 1195, kind("lip lick")))},
	{at: 1210, keys: "r", want: begins(moment("voice", 1210))}, // steadies
	{at: 1580, keys: "n", want: begins(moment("release", 1580), span("ex-free", 1580, 1630))},
	{at: 1595, keys: "L3", want: begins(moment("at-ease", 1595, kind("plays")))},
	{at: 1605, keys: "R", note: "low sun & long shadows <she squints>", want: begins(wanted{code: "remark", from: 1605, to: 1605, note: "low sun & long shadows <she squints>"})},

	// A recall, the bed, sits; what was pressed by mistake.
	{at: 1630, keys: "cC", want: begins(moment("come", 1630), span("ex-recall", 1630, 1675))},
	{at: 1642, keys: "H", want: begins(moment("heard", 1642))},
	{at: 1675, keys: "u", want: begins(moment("did", 1675))}, // ends the recall
	{at: 1682, keys: "P2", want: begins(moment("paid", 1682, kind("toy")))},
	{at: 1690, keys: "m" + kb.Delete},
	{at: 1695, keys: "p" + undoKey},
	{at: 1710, keys: "M", want: begins(moment("place", 1710))},
	{at: 1725, keys: "E1", want: begins(moment("help", 1725, kind("lure")))},
	{at: 1745, keys: "m" + undoKey + redoKey, want: begins(moment("marker", 1745))},
	{at: 1770, keys: "u", want: begins(moment("did", 1770), span("ex-place", 1770, 1820))},
	{at: 1820, keys: "n", want: begins(moment("release", 1820), span("ex-free", 1820, 1860))},
	{at: 1835, keys: "F", want: begins(moment("leash-pop", 1835, taps(1)))}, // on no ground
	{at: 1860, keys: "z", want: begins(moment("sit", 1860))},
	{at: 1875, keys: "T12", want: begins(moment("vibration", 1875, level(12)))},
	{at: 1890, keys: "u", want: begins(moment("did", 1890), span("ex-sit", 1890, 2010))},
	{at: 1910, keys: "E4", want: begins(moment("help", 1910, kind("moves closer")))},
	{at: 1950, keys: "z", want: begins(moment("sit", 1950))},
	{at: 1970, keys: "u", want: begins(moment("did", 1970))}, // it sits already: nothing starts
	{at: 1980, keys: "I", want: begins(moment("leave-it", 1980))},
	{at: 1985, keys: "i", want: begins(moment("no-answer", 1985))},
	{at: 1990, keys: "z", want: begins(moment("sit", 1990))},
	{at: 2010, keys: "x", want: begins(moment("down", 2010))}, // takes the sit back
	{at: 2030, keys: "g11", want: begins(moment("stim", 2030, level(11), taps(1)))},
	{at: 2080, keys: "g", want: begins(moment("stim", 2080, level(11), taps(1)))}, // the level is kept
	{at: 2120, keys: "n", want: begins(moment("release", 2120), span("ex-free", 2120, 2140))},

	// A whole down-stay with three keys, and what runs on at the clip's end.
	{at: 2140, keys: "x", want: begins(moment("down", 2140))},
	{at: 2160, keys: "u", want: begins(moment("did", 2160), span("ex-down", 2160, 2215))},
	{at: 2215, keys: "n", want: begins(moment("release", 2215), span("ex-free", 2215, 2235))},
	{at: 2225, keys: "D9", want: begins(span("distraction", 2225, still, kind("other")))},
	{at: 2235, keys: "v", want: begins(moment("heel", 2235))},

	// The first word came three frames later than it was coded: to the event, to
	// the frame, and there it starts.
	{at: 96, chosen: kb.Escape + kb.PageDown, then: 100, keys: "["},
	{at: 2235, keys: finishKey},
}

// finishKey is End with Shift.
const finishKey = "⇟"

// wantedOf lists every event that a script leaves behind.
func wantedOf(script []press) []wanted {
	var all []wanted
	for _, p := range script {
		all = append(all, p.want...)
	}
	return all
}
