package server

import (
	"context"
	"crypto/rand"
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
)

// Keys of the attributes of a request's log line.
const (
	logID     = "request"
	logMethod = "method"
	logPath   = "path"
	logStatus = "status"
	logBytes  = "bytes"
	logTook   = "took"
	logError  = "error"
	logStack  = "stack"
)

// keyRequest is where a request's id is kept in its context.
const keyRequest = "request-id"

// requestID returns the id that the log and the person share; short enough to be
// read out.
func requestID(c echo.Context) string {
	id, _ := c.Get(keyRequest).(string)
	return id
}

// logged answers errors and writes one line for each request. Queries stay out
// of it: the start address carries a token there.
func (s *Server) logged(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		began := s.cfg.Now()
		c.Set(keyRequest, strings.ToLower(rand.Text()[:8]))
		err := next(c)
		if err != nil {
			s.answerError(err, c)
		}
		r, res := c.Request(), c.Response()
		attrs := []slog.Attr{
			slog.String(logID, requestID(c)),
			slog.String(logMethod, r.Method), slog.String(logPath, r.URL.Path),
			slog.Int(logStatus, res.Status), slog.Int64(logBytes, res.Size),
			slog.Duration(logTook, s.cfg.Now().Sub(began).Round(10*time.Microsecond)),
		}
		level := slog.LevelInfo
		if err != nil {
			attrs = append(attrs, slog.String(logError, err.Error()))
			if res.Status >= http.StatusInternalServerError {
				level = slog.LevelError
			}
			if p, ok := err.(*panicked); ok {
				attrs = append(attrs, slog.String(logStack, p.stack))
			}
		}
		s.cfg.Log.LogAttrs(context.WithoutCancel(r.Context()), level, "request", attrs...)
		return nil
	}
}

// panicked is a panic of a handler as an error.
type panicked struct {
	value any
	stack string
}

// Error says what the panic was.
func (p *panicked) Error() string { return fmt.Sprintf("panic: %v", p.value) }

// recovered turns a panic into an error, which is logged and answered like one.
func (s *Server) recovered(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			if v := recover(); v != nil {
				if v == http.ErrAbortHandler {
					panic(v)
				}
				err = &panicked{value: v, stack: string(debug.Stack())}
			}
		}()
		return next(c)
	}
}
