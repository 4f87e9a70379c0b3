package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// NameKey returns the form in which names are compared: letter case, space around
// and inside, and the way accents are stored don't count.
func NameKey(name string) string {
	folded := cases.Fold().String(norm.NFC.String(name))
	return norm.NFC.String(strings.Join(strings.Fields(folded), " "))
}

const dogColumns = `d.id, d.name, d.side, d.ceilings, d.wear_limit_s, d.devices, d.notes, d.created_at`

// scanDog scans dogColumns and what follows them.
func scanDog(scan func(...any) error, more ...any) (Dog, error) {
	var d Dog
	var ceilings, devices string
	var created int64
	if err := scan(append([]any{&d.ID, &d.Name, &d.Side, &ceilings, &d.WearLimitS, &devices, &d.Notes, &created}, more...)...); err != nil {
		return Dog{}, err
	}
	d.CreatedAt = time.UnixMicro(created)
	return d, errors.Join(json.Unmarshal([]byte(ceilings), &d.Ceilings), json.Unmarshal([]byte(devices), &d.Devices))
}

// Dogs returns all dogs by name, but those in the bin.
func (s *Store) Dogs(ctx context.Context) ([]DogSummary, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+dogColumns+`,
		       (SELECT COUNT(*) FROM live_sessions WHERE dog_id = d.id),
		       (SELECT COUNT(*) FROM live_clips WHERE dog_id = d.id),
		       last.at, COALESCE(last.zone, '')
		FROM live_dogs d
		LEFT JOIN (`+lastSession+`) last ON last.dog_id = d.id
		ORDER BY d.name_key`)
	list, err := collect(rows, err, func(rows *sql.Rows) (DogSummary, error) {
		var d DogSummary
		var at *int64
		var zone string
		dog, err := scanDog(rows.Scan, &d.Sessions, &d.Clips, &at, &zone)
		d.Dog, d.LastSession = dog, inZone(at, zone)
		return d, err
	})
	if err != nil {
		return nil, fmt.Errorf("store: dogs: %w", translate(err))
	}
	return list, nil
}

// lastSession is when each dog's last session began. SQLite takes the other
// columns from the row that has the maximum.
const lastSession = `
	SELECT s.dog_id AS dog_id, MAX(first.at) AS at, first.zone AS zone
	FROM live_sessions s JOIN (` + firstClip + `) first ON first.session_id = s.id
	GROUP BY s.dog_id`

// Dog returns one dog.
func (s *Store) Dog(ctx context.Context, id string) (Dog, error) {
	d, err := scanDog(s.read.QueryRowContext(ctx, `SELECT `+dogColumns+` FROM live_dogs d WHERE d.id = ?`, id).Scan)
	if err != nil {
		return Dog{}, fmt.Errorf("store: dog %s: %w", id, translate(err))
	}
	return d, nil
}

// DogNamed returns the dog with a name, compared as NameKey says.
func (s *Store) DogNamed(ctx context.Context, name string) (Dog, error) {
	d, err := scanDog(s.read.QueryRowContext(ctx, `SELECT `+dogColumns+` FROM live_dogs d WHERE d.name_key = ?`, NameKey(name)).Scan)
	if err != nil {
		return Dog{}, fmt.Errorf("store: dog named %q: %w", name, translate(err))
	}
	return d, nil
}

// insertDog stores a new dog.
func (s *Store) insertDog(ctx context.Context, tx *sql.Tx, d Dog) error {
	ceilings, devices, err := encodeDog(d)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `
		INSERT INTO dogs (id, name, name_key, side, ceilings, wear_limit_s, devices, notes, created_at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		d.ID, d.Name, NameKey(d.Name), d.Side, ceilings, d.WearLimitS, devices, d.Notes, s.now().UnixMicro())
	return err
}
