package caption

import (
	"fmt"

	"afterwalk/annotate"
)

// Place is a named place that a text of the book may hold.
type Place struct {
	Name   string // as it stands between braces
	Means  string
	Sample string // what a preview puts there
}

// Places returns the named places in the order in which they are explained.
func Places() []Place {
	return []Place{
		{"name", "the dog's name", "Tansy"},
		{"kind", "the kind that was chosen, or the code's own", "scent"},
		{"level", "the level of the device", "4"},
		{"taps", "how often it was given", "2"},
		{"seconds", "how long it lasted, in seconds", "3.4"},
		{"latency", "how long the answer took, in seconds", "1.8"},
		{"times", "how often it was asked", "2"},
		{"distance", "how far away it was, in metres", "6 m"},
		{"note", "the note of the event", "first rain"},
	}
}

// CheckBook returns a problem for each place in the texts of a book that nothing
// fills, as Check finds them, at the field of the text.
func CheckBook(b *annotate.Codebook) annotate.Problems {
	var problems annotate.Problems
	for i := range b.Lanes {
		for k := range b.Lanes[i].Codes {
			code := &b.Lanes[i].Codes[k]
			at := fmt.Sprintf("codebook.lanes[%d] (%s).codes[%d] (%s).texts.", i, b.Lanes[i].Name, k, code.ID)
			problems = append(problems, Check(at+"coder", code.Texts.Coder)...)
			problems = append(problems, Check(at+"handler", code.Texts.Handler)...)
			problems = append(problems, Check(at+"owner", code.Texts.Owner)...)
		}
	}
	return problems
}
