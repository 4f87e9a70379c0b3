// Package store keeps a library's database: one SQLite file with dogs, sessions,
// footage, clips, readings and the journal of their edits. It knows values and
// rows, nothing of files, footage or pages; package library puts them together.
//
// Conventions: exported methods own their transaction; unexported functions take
// one. Ids are given by the caller. A method that finds nothing fails with
// annotate.ErrNotFound. One process writes, through one connection; any number
// read beside it. What a method has reported as written is on the disk.
//
//	s, err := store.Open(ctx, filepath.Join(dir, "library.db"), store.Options{})
//	…
//	dogs, err := s.Dogs(ctx)
package store
