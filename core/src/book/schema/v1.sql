-- Version 1 of the book. This text is frozen: later versions come as upgrades of their own.
--
-- Each kind of record has a table of the same form: who it belongs to and what it uses as foreign
-- keys, the envelope in columns, the content as JSON. Times are milliseconds since 1970 UTC with
-- the local offset in minutes beside them. Nothing is ever deleted, so ids are never used again.

-- The one row that says whose book this is.
CREATE TABLE book (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    device BLOB NOT NULL CHECK (length(device) = 16),
    made_ms INTEGER NOT NULL
) STRICT;

-- Where the person is in the app, half-typed values, choices of this device. Not part of the record.
CREATE TABLE state (
    key TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- One row for each thing a person did. `stamp` is a hybrid logical clock: it never runs backwards.
CREATE TABLE action (
    stamp INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    at_ms INTEGER NOT NULL,
    at_offset INTEGER NOT NULL,
    who TEXT NOT NULL,
    name TEXT NOT NULL,
    undoes_stamp INTEGER,
    undoes_device BLOB,
    PRIMARY KEY (stamp, device),
    FOREIGN KEY (undoes_stamp, undoes_device) REFERENCES action (stamp, device)
) STRICT, WITHOUT ROWID;
CREATE INDEX action_undoes ON action (undoes_stamp, undoes_device) WHERE undoes_stamp IS NOT NULL;

-- What each action changed, field by field. Field '' is the record itself coming to be.
CREATE TABLE change (
    stamp INTEGER NOT NULL,
    device BLOB NOT NULL,
    n INTEGER NOT NULL,
    kind TEXT NOT NULL,
    record BLOB NOT NULL CHECK (length(record) = 16),
    field TEXT NOT NULL,
    old TEXT CHECK (old IS NULL OR json_valid(old)),
    new TEXT CHECK (new IS NULL OR json_valid(new)),
    PRIMARY KEY (stamp, device, n),
    FOREIGN KEY (stamp, device) REFERENCES action (stamp, device)
) STRICT, WITHOUT ROWID;
CREATE INDEX change_record ON change (record);

-- What a person may search for, and the index over it.
CREATE TABLE search_entry (
    entry INTEGER PRIMARY KEY,
    record BLOB NOT NULL UNIQUE CHECK (length(record) = 16),
    kind TEXT NOT NULL,
    aside INTEGER NOT NULL DEFAULT 0,
    text TEXT NOT NULL
) STRICT;
CREATE VIRTUAL TABLE search USING fts5(
    text, content = 'search_entry', content_rowid = 'entry',
    tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3'
);

CREATE TABLE tool (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;

CREATE TABLE visit (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX visit_date ON visit (body ->> '$.date', id);

CREATE TABLE line (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    visit BLOB NOT NULL REFERENCES visit (id),
    earlier BLOB REFERENCES line (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX line_visit ON line (visit);

CREATE TABLE film_roll (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    visit BLOB NOT NULL REFERENCES visit (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX film_roll_visit ON film_roll (visit);

CREATE TABLE setup (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    line BLOB NOT NULL REFERENCES line (id),
    film_roll BLOB REFERENCES film_roll (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX setup_line ON setup (line);

CREATE TABLE load (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    setup BLOB NOT NULL REFERENCES setup (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX load_setup ON load (setup);

CREATE TABLE reading (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    load BLOB NOT NULL REFERENCES load (id),
    tool BLOB REFERENCES tool (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX reading_load ON reading (load);

CREATE TABLE film_weight (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    load BLOB NOT NULL REFERENCES load (id),
    tool BLOB REFERENCES tool (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX film_weight_load ON film_weight (load);

CREATE TABLE thickness (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    film_roll BLOB NOT NULL REFERENCES film_roll (id),
    load BLOB REFERENCES load (id),
    tool BLOB REFERENCES tool (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX thickness_film_roll ON thickness (film_roll);

CREATE TABLE stretch_mark (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    setup BLOB NOT NULL REFERENCES setup (id),
    load BLOB REFERENCES load (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX stretch_mark_setup ON stretch_mark (setup);

CREATE TABLE film_width (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    load BLOB NOT NULL REFERENCES load (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX film_width_load ON film_width (load);

CREATE TABLE film_breaks (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    setup BLOB NOT NULL REFERENCES setup (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX film_breaks_setup ON film_breaks (setup);

CREATE TABLE caution (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    visit BLOB NOT NULL REFERENCES visit (id),
    line BLOB REFERENCES line (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX caution_visit ON caution (visit);

CREATE TABLE machine_check (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    line BLOB NOT NULL REFERENCES line (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX machine_check_line ON machine_check (line);

CREATE TABLE finding (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    visit BLOB NOT NULL REFERENCES visit (id),
    line BLOB REFERENCES line (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX finding_visit ON finding (visit);

CREATE TABLE target (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    visit BLOB NOT NULL REFERENCES visit (id),
    line BLOB REFERENCES line (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX target_visit ON target (visit);

CREATE TABLE sample (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    visit BLOB NOT NULL REFERENCES visit (id),
    load BLOB REFERENCES load (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX sample_visit ON sample (visit);

CREATE TABLE sample_event (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    sample BLOB NOT NULL REFERENCES sample (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX sample_event_sample ON sample_event (sample);

CREATE TABLE photo (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    visit BLOB NOT NULL REFERENCES visit (id),
    created_ms INTEGER NOT NULL,
    created_offset INTEGER NOT NULL,
    changed_ms INTEGER NOT NULL,
    changed_offset INTEGER NOT NULL,
    device BLOB NOT NULL CHECK (length(device) = 16),
    aside_ms INTEGER,
    aside_offset INTEGER,
    aside_reason TEXT,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
CREATE INDEX photo_visit ON photo (visit);
CREATE INDEX photo_of ON photo (body ->> '$.of.id');
CREATE INDEX photo_sha256 ON photo (body ->> '$.sha256');
