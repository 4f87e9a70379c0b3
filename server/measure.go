package server

import (
	"encoding/json"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// measured returns the measures of one reading of the library as JSON, or null
// and a sentence that says why there are none.
func measured(r *annotate.Reading) (json.RawMessage, string) {
	m, err := measure.Of([]*annotate.Reading{r}, measure.KnownValid()) // what the library holds was checked on the way in
	if err != nil {
		return nil, err.Error()
	}
	text, err := json.Marshal(m)
	if err != nil {
		return nil, err.Error()
	}
	return text, ""
}
