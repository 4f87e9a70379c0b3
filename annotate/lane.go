package annotate

import (
	"fmt"
	"slices"
	"sort"
)

// overlaps reports every span that starts while another one runs in the same
// exclusive lane. Events are in order; lanes holds the indices of the lanes to
// look at. A span may start where the one before it ends; an open span runs on
// for ever; moments don't count.
func (c *eventCheck) overlaps(events []Event, lanes map[int]bool) {
	laneOf := map[string]int{} // code to lane, for the codes in question
	for lane := range lanes {
		if c.book.Lanes[lane].Exclusive {
			for _, code := range c.book.Lanes[lane].Codes {
				laneOf[code.ID] = lane
			}
		}
	}
	if len(laneOf) == 0 {
		return
	}
	running := make(map[int]*Event, len(lanes)) // in each lane, the span that ends last so far
	for i := range events {
		e := &events[i]
		lane, ok := laneOf[e.Code]
		if !ok || !e.Open && e.End <= e.Start {
			continue
		}
		before := running[lane]
		c.overlap(i, before, e, lane)
		if before == nil || !before.Open && (e.Open || e.End > before.End) {
			running[lane] = e
		}
	}
}

// overlap reports e, which is at index i of the events, if before still runs when
// it starts. Before doesn't start later than e; nil is nothing before.
func (c *eventCheck) overlap(i int, before, e *Event, lane int) {
	if before == nil || !before.Open && before.End <= e.Start {
		return
	}
	until := "has no end yet"
	if !before.Open {
		until = "ends at " + seconds(before.End)
	}
	problems := c.problems
	c.add(fmt.Sprintf("%s[%d] (%s).start_us", c.list, i, e.ID), "End the one that runs first.",
		"%q starts at %s while %q runs, which began at %s and %s: in the lane %q only one can.",
		c.name(e), seconds(e.Start), c.name(before), seconds(before.Start), until, c.book.Lanes[lane].Name)
	if last := c.problems[len(problems)]; slices.Contains(problems, last) { // the neighbour said so already
		c.problems = problems
	}
}

// name is what a person calls an event: its code's name, or the code's id where
// the book has none.
func (c *eventCheck) name(e *Event) string {
	if code, _ := c.book.code(e.Code); code != nil && code.Name != "" {
		return code.Name
	}
	return e.Code
}

// neighbours checks one event of the given lane against the spans of its lane
// next to it. It finds what overlaps finds, and quicker, where all other events
// are known to be in order with each other.
func (c *eventCheck) neighbours(events []Event, e *Event, lane int) {
	if !c.book.Lanes[lane].Exclusive || !e.Open && e.End <= e.Start {
		return
	}
	codes := c.book.Lanes[lane].Codes
	runs := func(o *Event) bool {
		return (o.Open || o.End > o.Start) && hasCode(codes, o.Code)
	}
	at := sort.Search(len(events), func(i int) bool { return compareEvents(&events[i], e) >= 0 })
	for i := at - 1; i >= 0; i-- {
		if runs(&events[i]) {
			c.overlap(at, &events[i], e, lane)
			break
		}
	}
	for i := at + 1; i < len(events); i++ {
		if runs(&events[i]) {
			c.overlap(i, e, &events[i], lane)
			break
		}
	}
}

func hasCode(codes []Code, id string) bool {
	for i := range codes {
		if codes[i].ID == id {
			return true
		}
	}
	return false
}
