package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"net/url"
	"path/filepath"
	"strings"

	"github.com/mattn/go-sqlite3"
)

// access says what a handle is for.
type access int

const (
	reading access = iota
	writing
)

// source returns the data source name of a file: a URI, so that any name is
// taken as it is, with every setting in it, so that each connection has them.
//
// A transaction is on the disk when its commit returns (synchronous FULL): a key
// press is worth one flush. On macOS, which flushes no further than the drive
// unless asked, connections also set fullfsync.
func source(path string, a access) string {
	q := url.Values{}
	q.Set("_foreign_keys", "on")
	q.Set("_busy_timeout", "5000")
	q.Set("_synchronous", "FULL")
	if a == writing {
		q.Set("_journal_mode", "WAL")
		q.Set("_txlock", "immediate")
	} else {
		q.Set("mode", "ro")
		q.Set("_txlock", "deferred")
	}
	p := filepath.ToSlash(path)
	if !strings.HasPrefix(p, "/") { // C:/…
		p = "/" + p
	}
	u := url.URL{Scheme: "file", Path: p, RawQuery: q.Encode()}
	return u.String()
}

// connector opens connections for database/sql.
type connector struct {
	source string
	driver *sqlite3.SQLiteDriver
}

func (c connector) Connect(context.Context) (driver.Conn, error) { return c.driver.Open(c.source) }
func (c connector) Driver() driver.Driver                        { return c.driver }

// connect returns a handle on the file; nothing is opened before it is used.
// path is absolute.
func connect(path string, a access, connections int) *sql.DB {
	db := sql.OpenDB(connector{source(path, a), &sqlite3.SQLiteDriver{ConnectHook: settle}})
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	return db
}

// settle gives a connection what its data source name has no word for.
func settle(c *sqlite3.SQLiteConn) error {
	for _, pragma := range []string{
		"PRAGMA fullfsync = ON", "PRAGMA checkpoint_fullfsync = ON", // macOS; nothing elsewhere
		"PRAGMA trusted_schema = OFF", // a file from elsewhere runs nothing of its own
	} {
		if _, err := c.Exec(pragma, nil); err != nil {
			return err
		}
	}
	return nil
}
