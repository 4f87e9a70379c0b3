package chart

import (
	"fmt"
	"math"

	"afterwalk/annotate"
)

// timeLabel writes a time of a clip: 0:35.6, 12:00, 1:02:03. It rounds to the last
// of the decimals before it splits into minutes, so that none reads 1:60.
func timeLabel(t annotate.Micros, digits int) string {
	perSecond := int64(math.Pow10(digits))
	unit := int64(annotate.Second) / perSecond
	sign := ""
	if t < 0 {
		t, sign = -t, "−"
	}
	parts := (int64(t) + unit/2) / unit
	if parts == 0 {
		sign = ""
	}
	whole := parts / perSecond
	text := fmt.Sprintf("%s%d:%02d", sign, whole/60, whole%60)
	if whole >= 3600 {
		text = fmt.Sprintf("%s%d:%02d:%02d", sign, whole/3600, whole/60%60, whole%60)
	}
	if digits > 0 {
		text += fmt.Sprintf(".%0*d", digits, parts%perSecond)
	}
	return text
}

// secondsLabel writes a length in seconds with one decimal, without unit.
func secondsLabel(t annotate.Micros) string {
	tenths := (int64(max(t, 0)) + 50_000) / 100_000
	return fmt.Sprintf("%d.%d", tenths/10, tenths%10)
}

// tickSteps are the steps between labelled ticks, each with the number of parts
// that small ticks cut it into.
var tickSteps = []struct {
	step  annotate.Micros
	parts int64
}{
	{1e3, 5}, {2e3, 4}, {5e3, 5}, {10e3, 5}, {20e3, 4}, {50e3, 5}, {100e3, 5}, {200e3, 4}, {500e3, 5},
	{1e6, 5}, {2e6, 4}, {5e6, 5}, {10e6, 5}, {20e6, 4}, {30e6, 6},
	{60e6, 6}, {120e6, 4}, {300e6, 5}, {600e6, 5}, {1200e6, 4}, {1800e6, 6},
	{3600e6, 6}, {7200e6, 4}, {18000e6, 5}, {36000e6, 5}, {72000e6, 4}, {180000e6, 5},
}

// timeAxis draws the times along the top.
func (p *stripPen) timeAxis() {
	s, r := p.scale, &p.rows
	const gap = 72
	wanted := float64(s.to-s.from) * gap / max(s.right-s.left, 1)
	at := tickSteps[len(tickSteps)-1]
	for _, t := range tickSteps {
		if float64(t.step) >= wanted {
			at = t
			break
		}
	}
	small := at.step / annotate.Micros(at.parts)
	if float64(s.to-s.from)/float64(small) > 5000 { // longer than any clip
		return
	}
	digits := 0
	for d := annotate.Second; d > at.step && digits < 3; d /= 10 {
		digits++
	}
	var ticks route
	first := s.from / small
	if first*small < s.from {
		first++
	}
	for n := first; n*small <= s.to; n++ {
		x, length := sharp(s.x(n*small)), 3.0
		if int64(n)%at.parts == 0 {
			length = 6
			text := timeLabel(n*small, digits)
			if w := faceLabel.width(text); x-w/2 >= 0 && x+w/2 <= r.width {
				p.write(faceLabel, inkMuted, text, x-w/2, r.axis, false)
			}
		}
		ticks.across(x, r.ticks, r.ticks+length)
	}
	p.draw(nib{stroke: inkMuted, width: 1}, &ticks)
}
