-- What stands around the desk: facts of dogs and sessions, the bin, what can be
-- taken back, playable copies, the inbox, and the words that are searched.

-- +goose Up
PRAGMA user_version = 2;

ALTER TABLE dogs ADD COLUMN devices TEXT NOT NULL DEFAULT '[]' CHECK (json_valid(devices)); -- [{"device","channel","level_max"}]
ALTER TABLE dogs ADD COLUMN notes TEXT NOT NULL DEFAULT '';
ALTER TABLE dogs ADD COLUMN binned_at INTEGER; -- NULL: not in the bin

ALTER TABLE sessions ADD COLUMN line TEXT NOT NULL DEFAULT '';   -- the leash or long line that was used
ALTER TABLE sessions ADD COLUMN device TEXT NOT NULL DEFAULT ''; -- one of the dog's devices, by name
ALTER TABLE sessions ADD COLUMN binned_at INTEGER;

-- Where the dog is in the clip, if not in all of it: both or neither.
ALTER TABLE clips ADD COLUMN window_start_us INTEGER;
ALTER TABLE clips ADD COLUMN window_end_us INTEGER CHECK ((window_start_us IS NULL) = (window_end_us IS NULL));
ALTER TABLE clips ADD COLUMN binned_at INTEGER;

ALTER TABLE readings ADD COLUMN binned_at INTEGER;

-- The copy that a browser can play, in the library's folder, named by the footage.
ALTER TABLE footage ADD COLUMN proxy TEXT NOT NULL DEFAULT '' CHECK (proxy IN ('', 'wanted', 'ready', 'failed', 'stopped')); -- '': none is needed
ALTER TABLE footage ADD COLUMN proxy_base_us INTEGER; -- where the copy defines the timeline: what stands for its time 0 in the original
ALTER TABLE footage ADD COLUMN proxy_says TEXT NOT NULL DEFAULT ''; -- what went wrong, or what differs
UPDATE footage SET proxy = 'wanted' WHERE needs_proxy <> '';
CREATE INDEX footage_proxy_wanted ON footage (id) WHERE proxy = 'wanted';

-- What isn't in the bin, nor below something that is.
CREATE VIEW live_dogs AS SELECT * FROM dogs WHERE binned_at IS NULL;
CREATE VIEW live_sessions AS
  SELECT s.* FROM sessions s JOIN dogs d ON d.id = s.dog_id
  WHERE s.binned_at IS NULL AND d.binned_at IS NULL;
CREATE VIEW live_clips AS
  SELECT c.* FROM clips c JOIN live_sessions s ON s.id = c.session_id
  WHERE c.binned_at IS NULL;
CREATE VIEW live_readings AS
  SELECT r.* FROM readings r JOIN live_clips c ON c.id = r.clip_id
  WHERE r.binned_at IS NULL;

CREATE TABLE acts ( -- what was done outside readings and can be taken back
  id        TEXT PRIMARY KEY,
  at        INTEGER NOT NULL,
  kind      TEXT NOT NULL, -- bin, merge, rename, sort, …
  title     TEXT NOT NULL, -- for the person: what was done
  payload   TEXT NOT NULL CHECK (json_valid(payload)), -- what taking it back needs
  undone_at INTEGER
) STRICT;

CREATE INDEX acts_by_kind ON acts (kind, at);

CREATE TABLE inbox ( -- footage that came in without a dog
  footage_id TEXT PRIMARY KEY REFERENCES footage (id),
  added_at   INTEGER NOT NULL,
  state      TEXT NOT NULL CHECK (state IN ('waiting', 'sorted', 'left out')),
  closed_at  INTEGER -- put away; NULL: shown in the inbox
) STRICT;

CREATE INDEX inbox_open ON inbox (added_at) WHERE closed_at IS NULL;

-- Everything typed, a row for each text, and its words.
CREATE TABLE typed (
  id    INTEGER PRIMARY KEY,
  kind  TEXT NOT NULL, -- dog, session, footage, reading, event
  ref   TEXT NOT NULL, -- id of that; an event's is below its reading's
  below TEXT NOT NULL, -- id of the reading for an event, '' for others
  field TEXT NOT NULL, -- name, venue, notes, …
  text  TEXT NOT NULL CHECK (text <> ''),
  UNIQUE (kind, below, ref, field)
) STRICT;

CREATE VIRTUAL TABLE typed_words USING fts4(content="typed", text, tokenize=unicode61 "remove_diacritics=2", prefix="2,4");
