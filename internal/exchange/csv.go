package exchange

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"iter"
	"strings"

	"afterwalk/annotate"
)

// CodedClip is a reading with what a table of events says about where it belongs.
type CodedClip struct {
	Reading *annotate.Reading
	Session string // the session's title, "" if not known
	Counts  bool   // whether measures across clips use this reading
}

// CSVOption changes how a table is written.
type CSVOption func(*csvTable)

// Guarded puts an apostrophe before each text that a spreadsheet would take for a
// formula: one that starts with = + - @, a tab or a line break. The texts are not
// the coded ones any more, so it is for tables that are opened in a spreadsheet and
// not read back.
func Guarded() CSVOption { return func(t *csvTable) { t.guarded = true } }

// WriteEventsCSV writes the events of readings as a table, one row each, in the
// order given, as they come: one reading is held at a time. Nothing is written
// before the first reading came or it is known that there is none; an error of the
// sequence ends the table and is returned.
//
// The file is CSV as RFC 4180 has it, UTF-8 without a byte order mark: fields
// between commas, in double quotes where they need it, each row ended by CR LF. The
// first row holds the names of the columns:
//
//	clip            file name of the clip
//	fingerprint     of the file, empty if not known
//	recorded_at     RFC 3339, empty if not known
//	dog, session, venue, handler
//	reader          who coded
//	reading         id of the reading
//	counts          true where measures across clips use this reading
//	finished        true where the reader said so
//	window_start_s, window_end_s   the part of the clip that was coded
//	book, book_version             what it was coded by
//	event           id of the event
//	code, name, lane, role         of the event's code
//	start_us, end_us               microseconds of the clip's media time; the end is
//	                               empty while open, the start itself for a moment
//	start_s, end_s, length_s       the same in seconds, with all six decimals
//	kind … distance_m              its details, its code's where it has none of its own
//	other           details that this program doesn't know, as a JSON object
//	note
//
// Texts are kept as they were typed, line breaks, quotes and a leading = + - or @
// included, so that a table read back holds what was coded; see [Guarded] for
// spreadsheets. What UTF-8 can't hold, and the character NUL, which readers of CSV
// refuse, become U+FFFD.
func WriteEventsCSV(w io.Writer, readings iter.Seq2[CodedClip, error], options ...CSVOption) error {
	t := newCSVTable(w)
	for _, o := range options {
		o(t)
	}
	for c, err := range readings {
		if err != nil {
			return err
		}
		if err := t.begin(); err != nil {
			return err
		}
		if err := t.reading(c); err != nil {
			return err
		}
	}
	return t.begin()
}

// csvTable writes rows that end in CR LF. A csv.Writer that is told to do so also
// changes the line breaks within fields, so each row is written apart.
type csvTable struct {
	to      io.Writer
	row     bytes.Buffer
	csv     *csv.Writer
	begun   bool
	guarded bool
}

func newCSVTable(to io.Writer) *csvTable {
	t := &csvTable{to: to}
	t.csv = csv.NewWriter(&t.row)
	return t
}

// begin writes the names of the columns, once.
func (t *csvTable) begin() error {
	if t.begun {
		return nil
	}
	t.begun = true
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	return t.write(names)
}

// write writes one row.
func (t *csvTable) write(fields []string) error {
	if err := t.csv.Write(fields); err != nil {
		return fmt.Errorf("exchange: table of events: %w", err)
	}
	t.csv.Flush()
	if err := t.csv.Error(); err != nil {
		return fmt.Errorf("exchange: table of events: %w", err)
	}
	row := bytes.TrimSuffix(t.row.Bytes(), []byte("\n"))
	_, err := t.to.Write(append(row, '\r', '\n'))
	t.row.Reset()
	if err != nil {
		return fmt.Errorf("exchange: table of events: %w", err)
	}
	return nil
}

// reading writes the events of one reading.
func (t *csvTable) reading(c CodedClip) error {
	row := csvRow{CodedClip: c}
	fields := make([]string, len(columns))
	for i := range c.Reading.Events {
		row.event = &c.Reading.Events[i]
		var lane int
		row.code, lane, _ = c.Reading.Book.Code(row.event.Code)
		row.lane = ""
		if lane >= 0 {
			row.lane = c.Reading.Book.Lanes[lane].Name
		}
		row.details = row.event.Details.Over(row.code.Details)
		for k, column := range columns {
			fields[k] = t.text(column.of(&row), column.typed)
		}
		if err := t.write(fields); err != nil {
			return err
		}
	}
	return nil
}

// text makes a field fit to be written; typed says that a person may have written
// it.
func (t *csvTable) text(s string, typed bool) string {
	s = strings.ReplaceAll(strings.ToValidUTF8(s, "\uFFFD"), "\x00", "\uFFFD")
	if t.guarded && typed && s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) {
		return "'" + s
	}
	return s
}
