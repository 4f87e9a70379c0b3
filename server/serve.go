package server

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"syscall"
	"time"
)

// stopWithin is how long running replies get when the server stops.
const stopWithin = 5 * time.Second

// NotLoopbackError says that an address would let other machines in.
type NotLoopbackError struct{ Addr string }

// Error says what to give instead.
func (e *NotLoopbackError) Error() string {
	return fmt.Sprintf("%s is not an address of this computer alone: give 127.0.0.1 and a port, such as 127.0.0.1:7171", e.Addr)
}

// BusyError says that something else listens on the address.
type BusyError struct {
	Addr  string
	Cause error
}

// Error says what can be done; another port is never taken in silence, because
// what the browser keeps for a library hangs on its address.
func (e *BusyError) Error() string {
	return fmt.Sprintf("%s is in use by another program. End that program, or choose another port with --addr: edits that wait in the browser stay with the old address", e.Addr)
}

// Unwrap returns what the system said.
func (e *BusyError) Unwrap() error { return e.Cause }

// loopbackOnly refuses addresses that other machines can reach. Names are
// refused too, except localhost: what they stand for may change.
func loopbackOnly(addr string) error {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return &NotLoopbackError{addr}
	}
	if host == "localhost" {
		return nil
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return &NotLoopbackError{addr}
	}
	return nil
}

// Listen opens the port and remembers the address with the library. It fails
// with *BusyError or *NotLoopbackError.
func (s *Server) Listen(ctx context.Context) error {
	addr := s.cfg.Addr
	if addr == "" {
		last, err := s.cfg.Library.Addr(ctx)
		if err != nil {
			return fmt.Errorf("server: address: %w", err)
		}
		if addr = last; addr == "" {
			addr = "127.0.0.1:0"
		}
	}
	if err := loopbackOnly(addr); err != nil {
		return err
	}
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return fmt.Errorf("server: address: %w", err)
	}
	if host == "localhost" {
		addr = net.JoinHostPort("127.0.0.1", port)
	}
	var lc net.ListenConfig
	l, err := lc.Listen(ctx, "tcp", addr)
	if errors.Is(err, syscall.EADDRINUSE) {
		return &BusyError{Addr: addr, Cause: err}
	}
	if err != nil {
		return fmt.Errorf("server: listen: %w", err)
	}
	at := l.Addr().String()
	if err := s.cfg.Library.SetAddr(ctx, at); err != nil {
		l.Close()
		return fmt.Errorf("server: address: %w", err)
	}
	s.listener = l
	s.addr.Store(&at)
	return nil
}

// Serve answers requests until ctx ends, then lets running replies finish,
// except event streams, which end at once. Listen comes first.
func (s *Server) Serve(ctx context.Context) error {
	if s.listener == nil {
		return errors.New("server: Listen comes before Serve")
	}
	base, cancel := context.WithCancel(context.WithoutCancel(ctx))
	defer cancel()
	s.http = &http.Server{
		Handler:           s.echo,
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		BaseContext:       func(net.Listener) context.Context { return base },
		ErrorLog:          slog.NewLogLogger(s.cfg.Log.Handler(), slog.LevelWarn),
	}
	failed := make(chan error, 1)
	go func() { failed <- s.http.Serve(s.listener) }()
	select {
	case err := <-failed:
		close(s.stopping)
		return fmt.Errorf("server: serve: %w", err)
	case <-ctx.Done():
	}
	close(s.stopping)
	end, stop := context.WithTimeout(base, stopWithin)
	defer stop()
	if err := s.http.Shutdown(end); err != nil {
		cancel() // replies that are still running see their context end
		s.http.Close()
		s.cfg.Log.Warn("stopped before every reply was finished", "error", err)
	}
	<-failed
	return nil
}
