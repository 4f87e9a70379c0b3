package exchange

import (
	_ "embed"
	"encoding/json"

	"afterwalk/annotate"
	"afterwalk/internal/wire"
)

//go:embed codebook.json
var defaultBook []byte

// DefaultBook returns the book that a new library starts with, a new copy each
// time. It has no id and no version: whoever stores it gives both.
func DefaultBook() *annotate.Codebook {
	var w wire.Codebook
	if err := json.Unmarshal(defaultBook, &w); err != nil {
		panic("exchange: the built-in codebook: " + err.Error())
	}
	b, err := w.Codebook()
	if err != nil {
		panic("exchange: the built-in codebook: " + err.Error())
	}
	return b
}
