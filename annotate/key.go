package annotate

import "strings"

// DeskKey is a key that the desk needs for itself, by its place on the keyboard:
// the name that browsers give the place, as in "KeyE" or "Shift+ArrowLeft".
type DeskKey struct {
	Place string
	Does  string // what the desk does with it
}

// DeskKeys returns every key without Ctrl that acts on the desk and so can't stand
// for a code. The desk's own table is ui/static/js/desk/keytable.js; a test there
// holds the two together.
func DeskKeys() []DeskKey {
	return []DeskKey{
		{"KeyE", "the dog is right"},
		{"Space", "play, pause"},
		{"Comma", "a frame back"},
		{"Period", "a frame on"},
		{"ArrowLeft", "1 s back"},
		{"ArrowRight", "1 s on"},
		{"Shift+ArrowLeft", "5 s back"},
		{"Shift+ArrowRight", "5 s on"},
		{"ArrowUp", "faster, up to 4×"},
		{"ArrowDown", "slower, down to 0.25×"},
		{"Shift+ArrowUp", "speed 1×"},
		{"Slash", "go to a time or, with #, a frame"},
		{"Home", "to the clip's first frame"},
		{"End", "to the clip's last frame"},
		{"PageDown", "to the next event, and select it"},
		{"PageUp", "to the event before, and select it"},
		{"Enter", "change the selected event"},
		{"Shift+Enter", "write a note to it"},
		{"BracketLeft", "its start is the frame shown"},
		{"BracketRight", "its end is the frame shown"},
		{"Semicolon", "its start a frame earlier"},
		{"Quote", "its start a frame later"},
		{"Shift+Semicolon", "its end a frame earlier"},
		{"Shift+Quote", "its end a frame later"},
		{"Delete", "remove it"},
		{"Equal", "strip: closer"},
		{"Minus", "strip: wider"},
		{"Backslash", "strip: the whole clip"},
		{"Backquote", "captions on, off"},
		{"Shift+End", "finish the reading, or take it up again"},
		{"Shift+Slash", "these keys"},
		{"Escape", "close, select nothing"},
		{"Shift+Equal", "strip: closer"},
		{"NumpadAdd", "strip: closer"},
		{"NumpadSubtract", "strip: wider"},
		{"NumpadEnter", "change the selected event"},
		{"Backspace", "remove it"},
	}
}

// places are the keys that carry a sign on an English keyboard.
var places = map[string]string{
	";": "Semicolon", "'": "Quote", ",": "Comma", ".": "Period", "/": "Slash", "[": "BracketLeft", "]": "BracketRight",
	"\\": "Backslash", "`": "Backquote", "-": "Minus", "=": "Equal", " ": "Space",
}

// KeyPlace returns the place of a book's key: of "w" the key that carries w on an
// English keyboard, of "W" the same with Shift. Keys go by place, so neither the
// keyboard's layout nor Caps Lock changes them. ok is false for what is no key.
func KeyPlace(key string) (place string, ok bool) {
	if len(key) == 1 {
		switch c := key[0]; {
		case 'a' <= c && c <= 'z':
			return "Key" + strings.ToUpper(key), true
		case 'A' <= c && c <= 'Z':
			return "Shift+Key" + key, true
		case '0' <= c && c <= '9':
			return "Digit" + key, true
		}
	}
	place, ok = places[key]
	return place, ok
}

// keyRefusal says why a key can't stand for a code, "" if it can.
func keyRefusal(key string) string {
	place, ok := KeyPlace(key)
	switch {
	case !ok:
		return "it is no single letter a to z"
	case strings.HasPrefix(place, "Digit"):
		return "digits are levels and kinds"
	}
	for _, k := range DeskKeys() {
		if k.Place == place {
			what, _, _ := strings.Cut(k.Does, ":")
			return "the desk needs it (" + what + ")"
		}
	}
	return ""
}
