-- A library of version 1. Written by it; never to be changed.
PRAGMA application_id = 1635216491;
PRAGMA user_version = 1;
PRAGMA foreign_keys = OFF;
CREATE TABLE goose_db_version (
		id INTEGER PRIMARY KEY AUTOINCREMENT,
		version_id INTEGER NOT NULL,
		is_applied INTEGER NOT NULL,
		tstamp TIMESTAMP DEFAULT (datetime('now'))
	);
CREATE TABLE facts ( -- of the library: id, addr
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE dogs (
  id           TEXT PRIMARY KEY,
  name         TEXT NOT NULL CHECK (name <> ''),
  name_key     TEXT NOT NULL UNIQUE, -- the name as names are compared
  side         TEXT NOT NULL CHECK (side IN ('left', 'right')),
  ceilings     TEXT NOT NULL CHECK (json_valid(ceilings)),
  wear_limit_s REAL CHECK (wear_limit_s >= 0),
  created_at   INTEGER NOT NULL
) STRICT;
CREATE TABLE sessions (
  id         TEXT PRIMARY KEY,
  dog_id     TEXT NOT NULL REFERENCES dogs (id),
  venue      TEXT NOT NULL,
  handler    TEXT NOT NULL,
  plan       TEXT NOT NULL,
  notes      TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  UNIQUE (id, dog_id)
) STRICT;
CREATE TABLE folders ( -- known to the library: moved files are looked for there
  path     TEXT PRIMARY KEY,
  added_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE footage (
  id            TEXT PRIMARY KEY,
  fingerprint   TEXT NOT NULL UNIQUE,
  root          TEXT NOT NULL, -- folder it was added from
  path          TEXT NOT NULL, -- below root, slash-separated
  name          TEXT NOT NULL, -- last part of path
  size          INTEGER NOT NULL CHECK (size >= 0),
  format        TEXT NOT NULL,
  video         TEXT NOT NULL,
  audio         TEXT NOT NULL,
  width         INTEGER NOT NULL,
  height        INTEGER NOT NULL,
  rotation      INTEGER NOT NULL,
  frame_rate    REAL NOT NULL,
  variable      INTEGER NOT NULL CHECK (variable IN (0, 1)),
  duration_us   INTEGER NOT NULL,
  start_us      INTEGER NOT NULL,
  recorded_at   INTEGER,
  recorded_by   TEXT NOT NULL,
  recorded_zone TEXT NOT NULL,
  needs_proxy   TEXT NOT NULL,
  silent        TEXT NOT NULL,
  warning       TEXT NOT NULL,
  frames        TEXT NOT NULL CHECK (frames IN ('wanted', 'ready', 'failed')),
  missing       INTEGER NOT NULL CHECK (missing IN (0, 1)),
  added_at      INTEGER NOT NULL
) STRICT;
CREATE TABLE frame_tables (
  footage_id TEXT PRIMARY KEY REFERENCES footage (id),
  packed     BLOB NOT NULL
) STRICT;
CREATE TABLE clips (
  id         TEXT PRIMARY KEY,
  session_id TEXT NOT NULL,
  dog_id     TEXT NOT NULL,
  footage_id TEXT NOT NULL REFERENCES footage (id),
  added_at   INTEGER NOT NULL,
  UNIQUE (dog_id, footage_id),
  FOREIGN KEY (session_id, dog_id) REFERENCES sessions (id, dog_id)
) STRICT;
CREATE TABLE books ( -- versions of codebooks, known by their content
  hash     TEXT PRIMARY KEY, -- SHA-256 of content, hexadecimal
  id       TEXT NOT NULL,
  version  INTEGER NOT NULL,
  content  TEXT NOT NULL CHECK (json_valid(content)),
  own      INTEGER NOT NULL CHECK (own IN (0, 1)), -- the library's, not one that came with a reading
  added_at INTEGER NOT NULL
) STRICT;
CREATE TABLE readings (
  id              TEXT PRIMARY KEY,
  clip_id         TEXT NOT NULL REFERENCES clips (id),
  reader          TEXT NOT NULL,
  handler         TEXT NOT NULL, -- '' and the like: as the session says
  venue           TEXT NOT NULL,
  side            TEXT NOT NULL CHECK (side IN ('', 'left', 'right')), -- '': as the dog's
  mirrored        INTEGER NOT NULL CHECK (mirrored IN (0, 1)),
  window_start_us INTEGER NOT NULL,
  window_end_us   INTEGER NOT NULL,
  chosen          TEXT NOT NULL,
  coded           TEXT CHECK (json_valid(coded)), -- NULL: all lanes
  finished_at     INTEGER, -- NULL: not finished
  agreed          INTEGER NOT NULL CHECK (agreed IN (0, 1)),
  book            TEXT NOT NULL REFERENCES books (hash),
  revision        INTEGER NOT NULL CHECK (revision >= 0),
  extra           TEXT NOT NULL CHECK (json_valid(extra)), -- unknown fields of its file
  created_at      INTEGER NOT NULL,
  updated_at      INTEGER NOT NULL
) STRICT;
CREATE TABLE beginnings ( -- what a reading was before the first row of its journal
  reading_id TEXT PRIMARY KEY REFERENCES readings (id),
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload))
) STRICT;
CREATE TABLE events ( -- of each reading as it is now
  reading_id TEXT NOT NULL REFERENCES readings (id),
  id         TEXT NOT NULL,
  code       TEXT NOT NULL,
  start_us   INTEGER NOT NULL,
  end_us     INTEGER, -- NULL: open
  rev        INTEGER NOT NULL,
  note       TEXT NOT NULL,
  details    TEXT NOT NULL CHECK (json_valid(details)),
  extra      TEXT CHECK (json_valid(extra)), -- unknown fields, if any
  PRIMARY KEY (reading_id, id)
) STRICT, WITHOUT ROWID;
CREATE TABLE journal ( -- one row for each edit
  reading_id TEXT NOT NULL REFERENCES readings (id),
  revision   INTEGER NOT NULL CHECK (revision > 0),
  edit_id    TEXT NOT NULL UNIQUE,
  at         INTEGER NOT NULL,
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload)),
  PRIMARY KEY (reading_id, revision)
) STRICT, WITHOUT ROWID;
INSERT INTO goose_db_version VALUES (1, 0, 1, '2026-11-25 02:32:54');
INSERT INTO goose_db_version VALUES (2, 1, 1, '2026-11-25 02:32:54');
INSERT INTO dogs VALUES ('dog', 'Tansy', 'tansy', 'left', '{"collar":30}', NULL, 1778346000001000);
INSERT INTO sessions VALUES ('session', 'dog', 'Alder Lane', 'I. Varga', '', '', 1778346000003000);
INSERT INTO folders VALUES ('/films', 1778346000002000);
INSERT INTO footage VALUES ('footage', 'v1-abc', '/films', 'may/clip 1.mp4', 'clip 1.mp4', 1234, 'mov,mp4', 'h264', 'aac', 1280, 720, 90, 29.97, 1, 60000000, 20000, 1778339100000000, 'quicktime', '+02:00', '', 'The sound is AC-3.', '', 'ready', 0, 1778346000004000);
INSERT INTO frame_tables VALUES ('footage', X'0103C0B802D78402D68402B3E8C81C');
INSERT INTO clips VALUES ('clip', 'session', 'dog', 'footage', 1778346000005000);
INSERT INTO books VALUES ('851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76', 'test', 1, '{"id":"test","version":1,"name":"Test","help_rank":1,"ladder":[{"channel":"voice","rank":1}],"house":{},"lanes":[{"name":"Position","exclusive":true,"codes":[{"id":"ahead","name":"ahead","key":"w","role":"error","shape":"span","kind":"ahead","definition":{"starts":""},"texts":{"coder":"","handler":"","owner":""}},{"id":"behind","name":"behind","key":"s","role":"error","shape":"span","kind":"behind","definition":{"starts":""},"texts":{"coder":"","handler":"","owner":""}}]},{"name":"Remarks","exclusive":false,"codes":[{"id":"remark","name":"remark","key":"","role":"remark","shape":"either","definition":{"starts":""},"texts":{"coder":"","handler":"","owner":""}}]}]}', 1, 1778346000006000);
INSERT INTO readings VALUES ('reading', 'clip', 'P. Quill', '', '', '', 0, 20000, 5000000, 'picked', '["Position"]', 1778346000016000, 0, '851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76', 8, '{}', 1778346000008000, 1778346000016000);
INSERT INTO beginnings VALUES ('reading', 1, '{"revision":0,"window":{"start_us":20000,"end_us":53367},"chosen":"","coded":null,"finished":false,"book":"851e93b6bfbc9ab1003f18f7715f0225b320e640ca1fd73b7c678f471ac35c76","events":[]}');
INSERT INTO events VALUES ('reading', 'a', 'ahead', 1000000, 2500000, 2, 'lead & <pull>', '{}', NULL);
INSERT INTO events VALUES ('reading', 'b', 'remark', 3000000, 3000000, 3, '', '{"level":0,"taps":2,"wind":{"from":"NW","a<b":1}}', '{"colour":"grün 🐕"}');
INSERT INTO journal VALUES ('reading', 1, 'reading-edit-1', 1778346000009000, 1, '{"v":1,"edit":"reading-edit-1","revision":1,"changes":[{"id":"a","before":null,"after":{"id":"a","code":"ahead","start_us":1000000,"end_us":null,"details":{},"note":"","rev":1}}]}');
INSERT INTO journal VALUES ('reading', 2, 'reading-edit-2', 1778346000010000, 1, '{"v":1,"edit":"reading-edit-2","revision":2,"changes":[{"id":"a","before":{"id":"a","code":"ahead","start_us":1000000,"end_us":null,"details":{},"note":"","rev":1},"after":{"id":"a","code":"ahead","start_us":1000000,"end_us":2500000,"details":{},"note":"lead & <pull>","rev":2}}]}');
INSERT INTO journal VALUES ('reading', 3, 'reading-edit-3', 1778346000011000, 1, '{"v":1,"edit":"reading-edit-3","revision":3,"changes":[{"id":"b","before":null,"after":{"id":"b","code":"remark","start_us":3000000,"end_us":3000000,"details":{"level":0,"taps":2,"wind":{"from":"NW","a<b":1}},"note":"","rev":3,"colour":"grün 🐕"}}]}');
INSERT INTO journal VALUES ('reading', 4, 'reading-edit-4', 1778346000012000, 1, '{"v":1,"edit":"reading-edit-4","revision":4,"changes":[{"id":"c","before":null,"after":{"id":"c","code":"behind","start_us":4000000,"end_us":null,"details":{},"note":"","rev":4}}]}');
INSERT INTO journal VALUES ('reading', 5, 'reading-edit-5', 1778346000013000, 1, '{"v":1,"edit":"reading-edit-5","revision":5,"changes":[{"id":"c","before":{"id":"c","code":"behind","start_us":4000000,"end_us":null,"details":{},"note":"","rev":4},"after":null}],"reach_us":5000000}');
INSERT INTO journal VALUES ('reading', 6, 'reading-edit-6', 1778346000014000, 1, '{"v":1,"edit":"reading-edit-6","revision":6,"changes":[],"facts_before":{"chosen":"","coded":null,"finished":false},"facts_after":{"chosen":"picked","coded":["Position"],"finished":true}}');
INSERT INTO journal VALUES ('reading', 7, 'reading-edit-7', 1778346000015000, 1, '{"v":1,"edit":"reading-edit-7","revision":7,"changes":[],"facts_before":{"chosen":"picked","coded":["Position"],"finished":true},"facts_after":{"chosen":"","coded":null,"finished":false},"undo":"reading-edit-6"}');
INSERT INTO journal VALUES ('reading', 8, 'reading-edit-8', 1778346000016000, 1, '{"v":1,"edit":"reading-edit-8","revision":8,"changes":[],"facts_before":{"chosen":"","coded":null,"finished":false},"facts_after":{"chosen":"picked","coded":["Position"],"finished":true},"redo":"reading-edit-7"}');
CREATE INDEX sessions_by_dog ON sessions (dog_id);
CREATE INDEX footage_by_name ON footage (name);
CREATE INDEX footage_wanted ON footage (id) WHERE frames = 'wanted';
CREATE INDEX clips_by_session ON clips (session_id);
CREATE INDEX clips_by_footage ON clips (footage_id);
CREATE UNIQUE INDEX books_own ON books (id, version) WHERE own = 1;
CREATE TRIGGER books_never_change BEFORE UPDATE OF hash, id, version, content ON books
BEGIN
  SELECT RAISE(ABORT, 'a version of a codebook never changes');
END;
CREATE INDEX readings_by_clip ON readings (clip_id);
CREATE TRIGGER journal_is_never_rewritten BEFORE UPDATE ON journal
BEGIN
  SELECT RAISE(ABORT, 'the journal is never rewritten');
END;
