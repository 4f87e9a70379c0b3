package library

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"afterwalk/annotate"
)

// A power cut leaves the write-ahead log as it was at its last sync, with
// whatever of later writes happened to reach the disk behind that. From a log cut
// there, everything acknowledged is recovered.
func TestRecoveryFromCutLog(t *testing.T) {
	const edits = 60
	dir := t.TempDir()
	l := start(t, dir, &prober{})
	id := oneReading(t, l)
	log := filepath.Join(dir, databaseName+"-wal")
	synced := make([]int64, edits+1) // size of the log when edit i was acknowledged
	for i := 1; i <= edits; i++ {
		if _, err := l.Apply(t.Context(), id, remark(fmt.Sprint("edit ", i), fmt.Sprint("event ", i), annotate.Micros(i)), nil); err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(log)
		if err != nil {
			t.Fatal(err)
		}
		synced[i] = info.Size()
	}
	database, err := os.ReadFile(filepath.Join(dir, databaseName))
	if err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	if int64(len(whole)) != synced[edits] || synced[edits] == synced[1] {
		t.Fatalf("the log has %d bytes, %d at the last edit and %d at the first: it was folded in meanwhile", len(whole), synced[edits], synced[1])
	}

	recovered := func(name string, log []byte, last, most int) {
		t.Helper()
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, databaseName), database, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, databaseName+"-wal"), log, 0o600); err != nil {
			t.Fatal(err)
		}
		l := start(t, dir, &prober{})
		defer l.Close()
		well(t, l)
		r, err := l.Reading(t.Context(), id)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if r.Revision < int64(last) || r.Revision > int64(most) {
			t.Errorf("%s: recovered up to edit %d; %d was acknowledged, %d begun", name, r.Revision, last, most)
		}
		for i := 1; i <= last; i++ {
			if _, ok := r.History.Row(fmt.Sprint("edit ", i)); !ok {
				t.Errorf("%s: edit %d was acknowledged and is lost", name, i)
			}
		}
		if out, err := l.Apply(t.Context(), id, remark(fmt.Sprint("edit ", most+1), "next", 0), nil); err != nil || out.Repeated {
			t.Errorf("%s: the next edit: %+v, %v", name, out, err)
		}
	}

	for i := 1; i < edits; i += 11 {
		cut, next := synced[i], synced[i+1]
		recovered(fmt.Sprintf("cut at the sync of edit %d", i), whole[:cut], i, i)
		// The next edit's frames in part: a byte, a frame's head, most of it, all but the last byte.
		for _, more := range []int64{1, 24, 24 + 4095, next - cut - 1} {
			recovered(fmt.Sprintf("torn %d bytes after the sync of edit %d", more, i), whole[:cut+more], i, i)
		}
	}
	cut := synced[edits/2]
	recovered("noise after the last sync", append(bytes.Clone(whole[:cut]), bytes.Repeat([]byte{0xa5}, 3*4120)...), edits/2, edits/2)
	recovered("zeros after the last sync", append(bytes.Clone(whole[:cut]), make([]byte, 5*4120)...), edits/2, edits/2)
	// A later write that reached the disk while an earlier one didn't.
	holed := bytes.Clone(whole[:synced[edits/2+2]])
	clear(holed[cut : cut+4120])
	recovered("a hole after the last sync", holed, edits/2, edits/2)
	recovered("everything arrived", whole, edits, edits)
}
