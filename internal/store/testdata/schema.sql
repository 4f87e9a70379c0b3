CREATE UNIQUE INDEX books_own ON books (id, version) WHERE own = 1;

CREATE INDEX clips_by_footage ON clips (footage_id);

CREATE INDEX clips_by_session ON clips (session_id);

CREATE INDEX footage_by_name ON footage (name);

CREATE INDEX footage_wanted ON footage (id) WHERE frames = 'wanted';

CREATE INDEX readings_by_clip ON readings (clip_id);

CREATE INDEX sessions_by_dog ON sessions (dog_id);

CREATE TABLE beginnings ( -- what a reading was before the first row of its journal
  reading_id TEXT PRIMARY KEY REFERENCES readings (id),
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload))
) STRICT;

CREATE TABLE books ( -- versions of codebooks, known by their content
  hash     TEXT PRIMARY KEY, -- SHA-256 of content, hexadecimal
  id       TEXT NOT NULL,
  version  INTEGER NOT NULL,
  content  TEXT NOT NULL CHECK (json_valid(content)),
  own      INTEGER NOT NULL CHECK (own IN (0, 1)), -- the library's, not one that came with a reading
  added_at INTEGER NOT NULL
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

CREATE TABLE dogs (
  id           TEXT PRIMARY KEY,
  name         TEXT NOT NULL CHECK (name <> ''),
  name_key     TEXT NOT NULL UNIQUE, -- the name as names are compared
  side         TEXT NOT NULL CHECK (side IN ('left', 'right')),
  ceilings     TEXT NOT NULL CHECK (json_valid(ceilings)),
  wear_limit_s REAL CHECK (wear_limit_s >= 0),
  created_at   INTEGER NOT NULL
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

CREATE TABLE facts ( -- of the library: id, addr
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

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

CREATE TABLE journal ( -- one row for each edit
  reading_id TEXT NOT NULL REFERENCES readings (id),
  revision   INTEGER NOT NULL CHECK (revision > 0),
  edit_id    TEXT NOT NULL UNIQUE,
  at         INTEGER NOT NULL,
  version    INTEGER NOT NULL, -- of payload
  payload    TEXT NOT NULL CHECK (json_valid(payload)),
  PRIMARY KEY (reading_id, revision)
) STRICT, WITHOUT ROWID;

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

CREATE TRIGGER books_never_change BEFORE UPDATE OF hash, id, version, content ON books
BEGIN
  SELECT RAISE(ABORT, 'a version of a codebook never changes');
END;

CREATE TRIGGER journal_is_never_rewritten BEFORE UPDATE ON journal
BEGIN
  SELECT RAISE(ABORT, 'the journal is never rewritten');
END;
