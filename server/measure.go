package server

import (
	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// measured returns the measures of one reading, or null and a sentence that says
// why there are none.
func measured(r *annotate.Reading) (any, string) {
	m, err := measure.Of([]*annotate.Reading{r})
	if err != nil {
		return nil, err.Error()
	}
	return m, ""
}
