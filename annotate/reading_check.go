package annotate

import (
	"fmt"
	"slices"
)

// maxTime is the longest clip: the largest whole number that a page holds
// exactly, about 285 years.
const maxTime Micros = 1<<53 - 1

// Validate returns everything that is wrong with a reading, its book included;
// nil if nothing is. Each problem names the event and the rule, or the code,
// channel or house key.
func (r *Reading) Validate() Problems {
	if r.Book == nil {
		return Problems{{Field: "codebook", Message: "The reading has no codebook."}}
	}
	c := eventCheck{book: r.Book, end: r.Clip.Duration, list: "events"}
	c.problems = r.Book.Validate()
	if r.Clip.Duration > maxTime {
		c.add("clip.duration_us", "", "The clip is longer than %s.", seconds(maxTime))
	}
	c.window(r.Window, r.Clip.Duration)
	c.chosen(r.Chosen)
	c.coded(r.Coded, r.Book)
	if r.Side != "" && r.Side != "left" && r.Side != "right" {
		c.add("side", "It is left or right.", "The side %q is unknown.", r.Side)
	}
	for _, scale := range sortedKeys(r.Dog.Ceilings) {
		if v := r.Dog.Ceilings[scale]; negative(v) {
			c.add("dog.ceilings."+scale, "", "The dog's ceiling for %q is the level %v, below 0.", scale, v)
		}
	}
	if w := r.Dog.WearLimitS; w != nil && negative(*w) {
		c.add("dog.wear_limit_s", "", "The dog's wear limit is %v s, below 0.", *w)
	}
	c.events(r.Events)
	return c.problems
}

// events checks all events of a reading and their lanes.
func (c *eventCheck) events(events []Event) {
	seen := make(map[string]bool, len(events))
	for i := range events {
		e := &events[i]
		c.event(i, e)
		if seen[e.ID] {
			c.add(fmt.Sprintf("%s[%d] (%s).id", c.list, i, e.ID), "Each event needs an id of its own.", "Event %q stands there twice.", e.ID)
		}
		seen[e.ID] = true
	}
	if !slices.IsSortedFunc(events, func(a, b Event) int { return compareEvents(&a, &b) }) {
		events = slices.Clone(events)
		SortEvents(events)
	}
	lanes := make(map[int]bool)
	for i := range c.book.Lanes {
		lanes[i] = true
	}
	c.overlaps(events, lanes)
}

func (c *check) window(w Span, end Micros) {
	switch {
	case w.End <= w.Start:
		c.add("window", "Its end lies after its start.", "The window from %s to %s is empty.", seconds(w.Start), seconds(w.End))
	case w.Start < 0 || w.End > end:
		c.add("window", "", "The window from %s to %s is not inside the clip, which ends at %s.", seconds(w.Start), seconds(w.End), seconds(end))
	}
}

func (c *check) chosen(how string) {
	switch how {
	case "", "whole", "fixed", "random", "picked":
	default:
		c.add("chosen", "It is whole, fixed, random or picked.", "The window was chosen in an unknown way, %q.", how)
	}
}

func (c *check) coded(lanes []string, b *Codebook) {
	for i, name := range lanes {
		if !slices.ContainsFunc(b.Lanes, func(l Lane) bool { return l.Name == name }) {
			c.add(fmt.Sprintf("coded[%d]", i), "", "The coded lane %q doesn't exist.", name)
		}
	}
}

// sortedKeys returns the keys of m in bytewise order.
func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
