// Package library is what commands and pages both do with a library: add footage
// and group it into sessions, find moved files again, keep readings and their
// edits, do work in the background. It joins package store (the database) and
// package media (footage), and knows nothing of HTTP or flags.
//
// A library is one folder:
//
//	library.db   the database (with library.db-wal and -shm while it is in use)
//	lock         held by the one process that writes; says where that is served
//	media/       what is derived from footage
//
// Footage stays where its owner keeps it and is never changed. Only files that
// were added are ever read, and, to find a moved one, files of the same size in
// the folders that were added from.
//
// One process writes, any number read beside it. Errors that a person should see
// are media.Fault, annotate.Problems, annotate.Conflict, *InUse or an error of
// package store with words of its own.
//
//	l, err := library.Open(ctx, library.Config{Dir: dir, Prober: tools, Now: time.Now, Log: log})
//	…
//	report, err := l.Add(ctx, library.AddRequest{Dog: "Tansy", Paths: paths}, nil)
package library
