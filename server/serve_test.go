package server

import (
	"errors"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"afterwalk/annotate"
)

// problemFields returns the fields that an error has problems with.
func problemFields(err error) []string {
	var p annotate.Problems
	if !errors.As(err, &p) {
		return nil
	}
	var fields []string
	for _, q := range p {
		fields = append(fields, q.Field)
	}
	return fields
}

func TestLoopbackOnly(t *testing.T) {
	for addr, want := range map[string]bool{
		"127.0.0.1:0": true, "127.0.0.1:7171": true, "[::1]:80": true, "localhost:7171": true, "127.8.9.1:1": true,
		"": false, ":7171": false, "0.0.0.0:7171": false, "[::]:7171": false, "192.168.1.7:7171": false,
		"example.com:80": false, "localhost.example.com:80": false, "127.0.0.1": false, "7171": false, "[fe80::1]:80": false,
	} {
		if got := loopbackOnly(addr) == nil; got != want {
			t.Errorf("loopbackOnly(%q) = %t, want %t", addr, got, want)
		}
	}
}

func TestBusyPort(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	s := newServer(t)
	s.cfg.Addr = l.Addr().String()
	err = s.Listen(t.Context())
	var busy *BusyError
	if !errors.As(err, &busy) || busy.Addr != l.Addr().String() {
		t.Errorf("Listen on a busy port = %v, want a BusyError that names it", err)
	}
}

func TestLoadToken(t *testing.T) {
	dir := t.TempDir()
	first, err := LoadToken(dir)
	if err != nil || !validToken(first) {
		t.Fatalf("LoadToken = %q, %v, want a token", first, err)
	}
	path := filepath.Join(dir, "start-token")
	if err := os.Chmod(path, 0o644); err != nil {
		t.Fatal(err)
	}
	again, err := LoadToken(dir)
	if err != nil || again != first {
		t.Errorf("second LoadToken = %q, %v, want the first token %q", again, err, first)
	}
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("the token's file has mode %v, want one that only its owner can read", info.Mode())
	}
	for _, broken := range []string{"", "short", "has spaces in it and more", "AAAAAAAAAAAAAAAAAAAAAAAA;Path=/"} {
		if err := os.WriteFile(path, []byte(broken), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := LoadToken(dir)
		if err != nil || got == broken || !validToken(got) {
			t.Errorf("LoadToken with %q in the file = %q, %v, want a new token", broken, got, err)
		}
	}
}
