package outing

import (
	"fmt"
	"slices"

	"afterwalk/annotate"
)

// truthLog collects what really happens.
type truthLog struct {
	events []annotate.Event
	open   map[string]int // code to index of its running span
}

// moment logs something without length. details may be zero.
func (w *world) moment(code string, details annotate.Details) {
	at := w.now()
	w.log.events = append(w.log.events, annotate.Event{Code: code, Start: at, End: at, Details: details})
}

// begin opens a span, unless one of the code is running.
func (w *world) begin(code string, details annotate.Details) {
	if w.running(code) {
		return
	}
	if w.log.open == nil {
		w.log.open = map[string]int{}
	}
	w.log.open[code] = len(w.log.events)
	w.log.events = append(w.log.events, annotate.Event{Code: code, Start: w.now(), Open: true, Details: details})
}

// end closes a running span; one without length is taken back.
func (w *world) end(codes ...string) {
	for _, code := range codes {
		i, ok := w.log.open[code]
		if !ok {
			continue
		}
		delete(w.log.open, code)
		w.log.events[i].Open, w.log.events[i].End = false, w.now()
	}
}

// running reports whether a span of the code is open.
func (w *world) running(code string) bool {
	_, ok := w.log.open[code]
	return ok
}

// finish closes what is open and gives ids in order.
func (w *world) finish() {
	for code := range w.log.open {
		w.end(code)
	}
	var kept []annotate.Event
	for _, e := range w.log.events {
		if slices.Contains(lapses, e.Code) && e.End == e.Start {
			continue
		}
		kept = append(kept, e)
	}
	annotate.SortEvents(kept)
	for i := range kept {
		kept[i].ID = fmt.Sprintf("t%03d", i+1)
	}
	w.run.Truth = kept
}

func kind(k string) annotate.Details { return annotate.Details{Kind: k} }
