package store

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// dump returns every row of every table but what was done (acts) and the numbers
// that searching gives to texts, in a fixed order.
func dump(t *testing.T, s *Store) string {
	t.Helper()
	ask := func(query string) []string {
		t.Helper()
		rows, err := s.write.QueryContext(t.Context(), query)
		if err != nil {
			t.Fatal(err)
		}
		defer rows.Close()
		var list []string
		for rows.Next() {
			var v string
			if err := rows.Scan(&v); err != nil {
				t.Fatal(err)
			}
			list = append(list, v)
		}
		return list
	}
	var b strings.Builder
	for _, table := range ask(`SELECT name FROM pragma_table_list WHERE type = 'table' AND schema = 'main' AND name NOT LIKE 'sqlite%' AND name NOT LIKE 'goose%' AND name <> 'acts' ORDER BY name`) {
		columns := ask(`SELECT 'quote(' || name || ')' FROM pragma_table_info('` + table + `') WHERE NOT ('` + table + `' = 'typed' AND name = 'id')`)
		for _, row := range ask(`SELECT ` + strings.Join(columns, ` || ', ' || `) + ` FROM ` + table + ` ORDER BY 1`) {
			fmt.Fprintf(&b, "%s: %s\n", table, row)
		}
	}
	return b.String()
}

// sameDump fails the test where two dumps differ.
func sameDump(t interface {
	Helper()
	Errorf(string, ...any)
}, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s (-want +got):\n%s", what, cmp.Diff(strings.Split(want, "\n"), strings.Split(got, "\n")))
	}
}

// whole fails the test where the check finds something.
func whole(t *testing.T, what string, s *Store) {
	t.Helper()
	c, err := s.Check(t.Context())
	if err != nil || len(c.Problems) > 0 {
		t.Errorf("check %s: %v, %v", what, c.Problems, err)
	}
}
