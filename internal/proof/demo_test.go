package proof

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"afterwalk/internal/demo"
	"afterwalk/internal/library"
	"afterwalk/server"
	"afterwalk/ui"
)

// atEnd is done when all tests have been run.
var atEnd []func()

// demoServed is the demo library, served: one for all tests, which may look at it
// but leave it as it is.
var demoServed = sync.OnceValues(func() (*program, error) {
	dir, err := os.MkdirTemp("", "afterwalk-proof-demo-")
	if err != nil {
		return nil, err
	}
	atEnd = append(atEnd, func() { os.RemoveAll(dir) })
	ctx, cancel := context.WithCancel(context.Background())
	log := slog.New(slog.DiscardHandler)
	lib, err := demo.Build(ctx, library.Config{Dir: filepath.Join(dir, "library"), Now: time.Now, Log: log})
	if err != nil {
		cancel()
		return nil, err
	}
	token, err := server.LoadToken(lib.Dir())
	if err == nil {
		p := &program{lib: lib}
		if p.server, err = server.New(server.Config{Library: lib, UI: ui.Files(), Log: log, Addr: "127.0.0.1:0", Token: token}); err == nil {
			if err = p.server.Listen(ctx); err == nil {
				served := make(chan error, 1)
				go func() { served <- p.server.Serve(ctx) }()
				atEnd = append(atEnd, func() { cancel(); <-served; _ = lib.Close() })
				return p, nil
			}
		}
	}
	cancel()
	return nil, errors.Join(err, lib.Close())
})

// startDemo returns the demo library, served for all tests together.
func startDemo(t testing.TB) *program {
	t.Helper()
	p, err := demoServed()
	if err != nil {
		t.Fatal(err)
	}
	return &program{t: t, lib: p.lib, server: p.server}
}

// counting returns the newest reading of the demo that counts.
func (p *program) counting() string {
	p.t.Helper()
	dogs, err := p.lib.Dogs(p.t.Context())
	if err != nil {
		p.t.Fatal(err)
	}
	for _, dog := range dogs {
		counted, err := p.lib.Counting(p.t.Context(), dog.ID)
		if err != nil {
			p.t.Fatal(err)
		}
		for i := len(counted) - 1; i >= 0; i-- {
			for _, r := range counted[i].Readings {
				if r != nil {
					return r.ID
				}
			}
		}
	}
	p.t.Fatal("the demo has no reading that counts")
	return ""
}
