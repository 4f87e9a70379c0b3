package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// image is a row as it is at one time, every column by its name: what an act
// keeps to put back exactly.
type image map[string]any

// images returns the rows of a table whose column holds one of some values, in the
// order of that column.
func images(ctx context.Context, tx *sql.Tx, table, column string, values []string) ([]image, error) {
	if len(values) == 0 {
		return nil, nil
	}
	args := make([]any, len(values))
	for i, v := range values {
		args[i] = v
	}
	rows, err := tx.QueryContext(ctx, `SELECT * FROM `+table+` WHERE `+column+` IN (`+marks(len(values))+`) ORDER BY 1`, args...)
	if err != nil {
		return nil, err
	}
	names, err := rows.Columns()
	if err != nil {
		_ = rows.Close() // the first error tells more
		return nil, err
	}
	return collect(rows, nil, func(rows *sql.Rows) (image, error) {
		cells := make([]any, len(names))
		into := make([]any, len(names))
		for i := range cells {
			into[i] = &cells[i]
		}
		if err := rows.Scan(into...); err != nil {
			return nil, err
		}
		row := image{}
		for i, name := range names {
			row[name] = cells[i]
		}
		return row, nil
	})
}

// marks returns n question marks for a list of values.
func marks(n int) string { return strings.TrimSuffix(strings.Repeat("?, ", n), ", ") }

// putImage makes a row of a table, known by its key, what an image says.
func putImage(ctx context.Context, tx *sql.Tx, table, key string, row image) error {
	var names, set []string
	for name := range row {
		names = append(names, name)
	}
	slices.Sort(names)
	args := make([]any, len(names))
	for i, name := range names {
		args[i] = row.cell(name)
		set = append(set, name+` = excluded.`+name)
	}
	_, err := tx.ExecContext(ctx, `
		INSERT INTO `+table+` (`+strings.Join(names, ", ")+`) VALUES (`+marks(len(names))+`)
		ON CONFLICT (`+key+`) DO UPDATE SET `+strings.Join(set, ", "), args...)
	return err
}

// cell returns what a column holds, as the database takes it.
func (row image) cell(name string) any {
	n, ok := row[name].(json.Number)
	if !ok {
		return row[name]
	}
	if i, err := n.Int64(); err == nil {
		return i
	}
	f, err := n.Float64()
	if err != nil {
		return n.String()
	}
	return f
}

// text returns what a column of text holds.
func (row image) text(name string) string {
	s, _ := row[name].(string)
	return s
}

// alike reports whether two lists of images say the same.
func alike(a, b []image) (bool, error) {
	if len(a) == 0 && len(b) == 0 {
		return true, nil
	}
	x, err := json.Marshal(a)
	if err != nil {
		return false, err
	}
	y, err := json.Marshal(b)
	return bytes.Equal(x, y), err
}

// decodeImages reads JSON that holds images, and keeps their numbers exact.
func decodeImages(data []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	if err := d.Decode(into); err != nil {
		return fmt.Errorf("rows that an act keeps: %w", err)
	}
	return nil
}
