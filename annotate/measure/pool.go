package measure

import (
	"fmt"
	"maps"
	"reflect"

	"afterwalk/annotate"
)

// fit returns what keeps readings from being one session of one dog: another dog,
// ladder, help_rank or house rule than the first one's, or an event id used twice.
// Rules compare as they apply: one left out equals its default.
func fit(readings []*annotate.Reading) annotate.Problems {
	var p annotate.Problems
	refuse := func(i int, field, what, hint string) {
		p = append(p, annotate.Problem{
			Field:   fmt.Sprintf("readings[%d].%s", i, field),
			Message: fmt.Sprintf("%s and %s have %s.", nameOf(readings[0], 0), nameOf(readings[i], i), what),
			Hint:    hint,
		})
	}
	const rules = "Measure all readings under one version of the book."
	first := readings[0]
	for i, r := range readings[1:] {
		i++
		if r.Dog.Name != first.Dog.Name {
			refuse(i, "dog.name", fmt.Sprintf("different dogs, %q and %q", first.Dog.Name, r.Dog.Name), "Measure each dog by itself.")
			continue
		}
		if !maps.Equal(r.Dog.Ceilings, first.Dog.Ceilings) {
			refuse(i, "dog.ceilings", "different ceilings for the dog", "Give them the same ones.")
		}
		if !reflect.DeepEqual(r.Dog.WearLimitS, first.Dog.WearLimitS) {
			refuse(i, "dog.wear_limit_s", "different wear limits for the dog", "Give them the same one.")
		}
		if !reflect.DeepEqual(ladder(r.Book), ladder(first.Book)) {
			refuse(i, "codebook.ladder", "different ladders", rules)
		}
		if r.Book.HelpRank != first.Book.HelpRank {
			refuse(i, "codebook.help_rank", fmt.Sprintf("different help_ranks, %d and %d", first.Book.HelpRank, r.Book.HelpRank), rules)
		}
		if !reflect.DeepEqual(r.Book.House.Rules(), first.Book.House.Rules()) {
			refuse(i, "codebook.house", "different house rules", rules)
		}
	}
	return append(p, twice(readings)...)
}

// twice names the first event id that two readings share.
func twice(readings []*annotate.Reading) annotate.Problems {
	if len(readings) < 2 {
		return nil
	}
	seen := map[string]int{}
	for i, r := range readings {
		for k := range r.Events {
			id := r.Events[k].ID
			if j, ok := seen[id]; ok {
				return annotate.Problems{{
					Field:   fmt.Sprintf("readings[%d].events[%d] (%s).id", i, k, id),
					Message: fmt.Sprintf("Event %q stands in %s and in %s.", id, nameOf(readings[j], j), nameOf(r, i)),
					Hint:    "Give each reading once.",
				}}
			}
			seen[id] = i
		}
	}
	return nil
}

// ladder returns the rungs of a book by scale.
func ladder(b *annotate.Codebook) map[string]annotate.Rung {
	rungs := make(map[string]annotate.Rung, len(b.Ladder))
	for _, g := range b.Ladder {
		g.Extra = nil
		rungs[annotate.Scale(g.Channel, g.Device)] = g
	}
	return rungs
}

// nameOf names the reading at index i of those given.
func nameOf(r *annotate.Reading, i int) string {
	if r.Clip.File != "" {
		return fmt.Sprintf("the reading of %s", r.Clip.File)
	}
	return fmt.Sprintf("reading %d", i+1)
}
