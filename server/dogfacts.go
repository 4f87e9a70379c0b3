package server

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// factsForm is the form of a dog's facts, as typed.
type factsForm struct {
	Name, Side, Notes, WearMin string
	Devices                    []deviceField
	Ceilings                   []ceilingField // of scales that belong to none of the devices

	Channels []string          // to choose from
	Wrong    map[string]string // by field: what is wrong with it
	General  string            // what is wrong with none of them
	SameName *store.Dog        // the dog that has the name which was typed
	Changed  bool              // a row was added or taken out; nothing is stored yet
	Focus    string            // id of the field to go to
}

// deviceField is a device as typed, with this dog's ceiling on its scale.
type deviceField struct{ Name, Channel, Max, Ceiling string }

// ceilingField is a ceiling of a scale as typed.
type ceilingField struct{ Scale, Level string }

// maxRows is how many devices or ceilings one dog may have.
const maxRows = 50

// factsOf fills the form from what is stored.
func factsOf(dog store.Dog, book *annotate.Codebook) factsForm {
	f := factsForm{Name: dog.Name, Side: dog.Side, Notes: dog.Notes}
	if dog.WearLimitS != nil {
		f.WearMin = shortNumber(*dog.WearLimitS / 60)
	}
	with := map[string]bool{}
	for _, d := range dog.Devices {
		row := deviceField{Name: d.Name, Channel: d.Channel}
		if d.LevelMax != nil {
			row.Max = shortNumber(*d.LevelMax)
		}
		scale := annotate.Scale(d.Channel, d.Name)
		if v, ok := dog.Ceilings[scale]; ok {
			row.Ceiling, with[scale] = shortNumber(v), true
		}
		f.Devices = append(f.Devices, row)
	}
	for scale, v := range dog.Ceilings {
		if !with[scale] {
			f.Ceilings = append(f.Ceilings, ceilingField{scale, shortNumber(v)})
		}
	}
	slices.SortFunc(f.Ceilings, func(a, b ceilingField) int { return strings.Compare(a.Scale, b.Scale) })
	f.setChannels(book)
	return f
}

// shortNumber writes a number as short as it can be.
func shortNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// rowID returns the id of a field in a row of the form: device-0-name.
func rowID(what string, row int, part string) string { return fmt.Sprintf("%s-%d-%s", what, row, part) }

// setChannels lists the channels of pressure of a book, and those that the devices
// have besides.
func (f *factsForm) setChannels(book *annotate.Codebook) {
	f.Channels = nil
	add := func(channel string) {
		if channel != "" && !slices.Contains(f.Channels, channel) {
			f.Channels = append(f.Channels, channel)
		}
	}
	if book != nil {
		for _, lane := range book.Lanes {
			for _, code := range lane.Codes {
				if code.Role == annotate.RolePressure {
					add(code.Details.Channel)
				}
			}
		}
	}
	for _, d := range f.Devices {
		add(d.Channel)
	}
}

// Scales returns the scales that a ceiling can be for: the channels, and what is
// in the form already.
func (f factsForm) Scales() []string {
	list := slices.Clone(f.Channels)
	for _, c := range f.Ceilings {
		if c.Scale != "" && !slices.Contains(list, c.Scale) {
			list = append(list, c.Scale)
		}
	}
	return list
}

// readFacts reads the form that was sent. Rows of which nothing was filled in are
// kept: whoever stores it passes over them.
func readFacts(form url.Values) factsForm {
	one := func(name string) string { return cleaned(form.Get(name)) }
	f := factsForm{Name: one("name"), Side: one("side"), Notes: one("notes"), WearMin: one("wear_min")}
	at := func(name string, i int) string {
		if list := form[name]; i < len(list) {
			return strings.ReplaceAll(cleaned(list[i]), "\n", " ")
		}
		return ""
	}
	for i := range min(len(form["device_name"]), maxRows) {
		f.Devices = append(f.Devices, deviceField{at("device_name", i), at("device_channel", i), at("device_max", i), at("device_ceiling", i)})
	}
	for i := range min(len(form["ceiling_scale"]), maxRows) {
		f.Ceilings = append(f.Ceilings, ceilingField{at("ceiling_scale", i), at("ceiling_level", i)})
	}
	return f
}

// change does what a button of the form asks for that adds or takes out a row; it
// reports false for any other.
func (f *factsForm) change(button string) bool {
	switch what, row, _ := strings.Cut(button, "-"); {
	case button == "add-device" && len(f.Devices) < maxRows:
		f.Devices = append(f.Devices, deviceField{})
		f.Focus = rowID("device", len(f.Devices)-1, "name")
	case button == "add-ceiling" && len(f.Ceilings) < maxRows:
		f.Ceilings = append(f.Ceilings, ceilingField{})
		f.Focus = rowID("ceiling", len(f.Ceilings)-1, "scale")
	case what == "device":
		i, err := strconv.Atoi(row)
		if err != nil || i < 0 || i >= len(f.Devices) {
			return false
		}
		f.Devices = slices.Delete(f.Devices, i, i+1)
		f.Focus = "add-device"
	case what == "ceiling":
		i, err := strconv.Atoi(row)
		if err != nil || i < 0 || i >= len(f.Ceilings) {
			return false
		}
		f.Ceilings = slices.Delete(f.Ceilings, i, i+1)
		f.Focus = "add-ceiling"
	default:
		return false
	}
	f.Changed = true
	return true
}

// into fills a dog from the form and returns all that is wrong, by the ids of the
// fields.
func (f *factsForm) into(dog store.Dog) (store.Dog, annotate.Problems) {
	r := factsReader{}
	dog.Name, dog.Side, dog.Notes = f.Name, f.Side, f.Notes
	r.text("name", "name", f.Name, maxName)
	if f.Name == "" {
		r.wrong("name", "The dog's name is missing.", "Write the name that the dog is called by.")
	}
	if f.Side != "left" && f.Side != "right" {
		r.wrong("side", "The side isn't chosen.", "Choose left or right.")
	}
	r.text("notes", "notes", f.Notes, maxText)
	dog.WearLimitS = nil
	if f.WearMin != "" {
		if v, ok := r.number("wear_min", "collar time", f.WearMin, 24*60); ok && v == 0 {
			r.wrong("wear_min", "A collar time of 0 minutes isn't a limit.", "Leave it empty if no collar is used.")
		} else if ok {
			v *= 60
			dog.WearLimitS = &v
		}
	}
	dog.Devices, dog.Ceilings = nil, map[string]float64{}
	for i, row := range f.Devices {
		if row.Name == "" && row.Max == "" && row.Ceiling == "" {
			continue
		}
		id := rowID("device", i, "")
		d := store.Device{Name: row.Name, Channel: row.Channel}
		if row.Name == "" {
			r.wrong(id+"name", "This device has no name.", "Write what is printed on it, or take the row out.")
		}
		r.text(id+"name", "name of the device", row.Name, maxName)
		if row.Channel == "" {
			r.wrong(id+"channel", "What does this device do?", "Choose its channel.")
		}
		if v, ok := r.number(id+"max", "highest level", row.Max, maxLevel); ok {
			d.LevelMax = &v
		}
		scale := annotate.Scale(d.Channel, d.Name)
		if slices.ContainsFunc(dog.Devices, func(o store.Device) bool { return annotate.Scale(o.Channel, o.Name) == scale }) {
			r.wrong(id+"name", "This device is listed twice.", "Take one of the two out, or name them apart.")
		}
		if v, ok := r.number(id+"ceiling", "ceiling", row.Ceiling, maxLevel); ok {
			if d.LevelMax != nil && v > *d.LevelMax {
				r.wrong(id+"ceiling", "The ceiling lies above the device's own highest level.", "A ceiling is the level that is not gone beyond with this dog.")
			}
			dog.Ceilings[scale] = v
		}
		dog.Devices = append(dog.Devices, d)
	}
	for i, row := range f.Ceilings {
		if row.Level == "" {
			continue
		}
		id := rowID("ceiling", i, "")
		v, ok := r.number(id+"level", "ceiling", row.Level, maxLevel)
		if row.Scale == "" {
			r.wrong(id+"scale", "This ceiling is for nothing.", "Choose what it is for, or take the row out.")
		} else if _, twice := dog.Ceilings[row.Scale]; twice {
			r.wrong(id+"scale", "There are two ceilings for this.", "Take one of them out.")
		} else if ok {
			dog.Ceilings[row.Scale] = v
		}
	}
	return dog, r.problems
}

// maxLevel is the highest level that can be written down.
const maxLevel = 1e6

// factsReader gathers what is wrong with a form.
type factsReader struct{ problems annotate.Problems }

func (r *factsReader) wrong(field, message, hint string) {
	r.problems = append(r.problems, annotate.Problem{Field: field, Message: message, Hint: hint})
}

// text checks how long a text is.
func (r *factsReader) text(field, what, value string, most int) {
	if n := utf8.RuneCountInString(value); n > most {
		r.wrong(field, fmt.Sprintf("The %s is too long: %d characters, at most %d are kept.", what, n, most), "Shorten it.")
	}
}

// number reads a number from 0 to most; ok is false for an empty field and for one
// that is wrong.
func (r *factsReader) number(field, what, value string, most float64) (v float64, ok bool) {
	if value == "" {
		return 0, false
	}
	v, err := number(value)
	switch {
	case err != nil:
		r.wrong(field, fmt.Sprintf("The %s isn't a number.", what), "Write digits, such as 12 or 7.5.")
	case v < 0:
		r.wrong(field, fmt.Sprintf("The %s lies below 0.", what), "Take the minus sign away.")
	case v > most:
		r.wrong(field, fmt.Sprintf("The %s is more than can be.", what), fmt.Sprintf("At most %s.", shortNumber(most)))
	default:
		return v, true
	}
	return 0, false
}

// DeviceParts are the fields of a device's row, in order.
func (factsForm) DeviceParts() []string { return []string{"name", "channel", "max", "ceiling"} }
