package main

import (
	"log/slog"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"afterwalk/internal/demo"
	"afterwalk/internal/exchange"
	"afterwalk/internal/library"
	"afterwalk/server"
	"afterwalk/ui"
)

// Every page that the server has is looked at.
func TestSubjects(t *testing.T) {
	log := slog.New(slog.DiscardHandler)
	lib, err := library.Open(t.Context(), library.Config{Dir: t.TempDir(), Prober: demo.Prober(), Now: time.Now, Log: log, DefaultBook: exchange.DefaultBook()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := lib.Close(); err != nil {
			t.Error(err)
		}
	})
	s, err := server.New(server.Config{Library: lib, UI: ui.Files(), Log: log, Addr: "127.0.0.1:0", Token: "ATOKENFORTHETESTOFSUBJECTS"})
	if err != nil {
		t.Fatal(err)
	}
	// What a GET gives that is no page: files, data, and ways to other pages.
	notPages := []string{"/api/", "/charts/", "/media/", "/assets/", "/clips/:id"}
	routes, pages := reflect.ValueOf(s.Handler()).MethodByName("Routes").Call(nil)[0], 0
	for i := range routes.Len() {
		r := routes.Index(i).Elem()
		path := r.FieldByName("Path").String()
		if r.FieldByName("Method").String() != "GET" || strings.Contains(path[strings.LastIndex(path, "/"):], ".") || strings.HasSuffix(path, "/export") ||
			slices.ContainsFunc(notPages, func(p string) bool { return strings.HasPrefix(path, p) }) {
			continue
		}
		pages++
		if !slices.ContainsFunc(subjects, func(s subject) bool { return s.route == path }) {
			t.Errorf("nobody looks at the page %s: give it a subject", path)
		}
	}
	if pages < 8 {
		t.Errorf("only %d pages found", pages)
	}
}
