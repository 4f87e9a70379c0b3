package server

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"

	"afterwalk/internal/library"
)

// Config is what a server needs from outside.
type Config struct {
	Library *library.Library
	UI      fs.FS // templates/ and static/
	Log     *slog.Logger
	// Addr is the address to listen on, loopback only. "" means the one that the
	// library was served at last, or a free port the first time.
	Addr string
	// Token is what the start address carries; see [LoadToken].
	Token string
	// Dev reads templates and assets anew for every request.
	Dev bool
	// Places are the folders that the chooser may show; nil means the home
	// folder and mounted drives.
	Places []Place
	// Now is the clock; nil means time.Now.
	Now func() time.Time
	// Beat is the pause between comment lines of the event stream; 0 means 15 s.
	Beat time.Duration
}

// Server serves one library.
type Server struct {
	cfg      Config
	echo     *echo.Echo
	http     *http.Server
	listener net.Listener
	addr     atomic.Pointer[string] // host:port it is reached at
	pages    *pages
	assets   *assets
	chooser  *chooser
	stopping chan struct{} // closed when the event streams have to end
}

// New builds the server and parses its templates; it does not listen yet.
func New(cfg Config) (*Server, error) {
	if cfg.Library == nil || cfg.UI == nil || cfg.Log == nil {
		return nil, errors.New("server: library, pages and log are needed")
	}
	if len(cfg.Token) < 16 {
		return nil, errors.New("server: the start token is too short")
	}
	if cfg.Addr != "" {
		if err := loopbackOnly(cfg.Addr); err != nil {
			return nil, err
		}
	}
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.Beat == 0 {
		cfg.Beat = 15 * time.Second
	}
	s := &Server{cfg: cfg, stopping: make(chan struct{})}
	s.addr.Store(&cfg.Addr)
	var err error
	if s.pages, err = newPages(cfg.UI, cfg.Dev); err != nil {
		return nil, fmt.Errorf("server: templates: %w", err)
	}
	if s.assets, err = newAssets(cfg.UI, cfg.Dev); err != nil {
		return nil, fmt.Errorf("server: assets: %w", err)
	}
	s.chooser = &chooser{places: Places}
	if cfg.Places != nil {
		s.chooser.places = func() []Place { return cfg.Places }
	}
	s.echo = echo.New()
	s.echo.HideBanner, s.echo.HidePort = true, true
	s.echo.Logger.SetOutput(io.Discard) // everything goes through cfg.Log
	s.echo.IPExtractor = echo.ExtractIPDirect()
	s.echo.HTTPErrorHandler = s.answerError
	s.guard()
	s.routes()
	return s, nil
}

// Handler returns the whole server as one handler, guards included.
func (s *Server) Handler() http.Handler { return s.echo }

// Addr returns the address the server is reached at, "127.0.0.1:7171".
func (s *Server) Addr() string { return *s.addr.Load() }

// StartURL returns the address to open first; it lets the browser in.
func (s *Server) StartURL() string {
	return "http://" + s.Addr() + "/?start=" + s.cfg.Token
}
