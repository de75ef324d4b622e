-- The log: sessions, and in each its tries, one row a tone. Units: seconds, Hz, cents, milliseconds, dB re full scale.

CREATE TABLE session (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,             -- the order of the sessions; no number is given twice
    started   TEXT NOT NULL CHECK (datetime(started) IS NOT NULL), -- ISO 8601 with offset; a label, not an order
    source    TEXT NOT NULL,
    invented  INTEGER NOT NULL CHECK (invented IN (0, 1)),   -- 1: the player is the demo's
    horn      TEXT NOT NULL,
    fingering TEXT NOT NULL,
    a4_hz     REAL NOT NULL CHECK (a4_hz > 0),
    against   TEXT NOT NULL CHECK (against IN ('tempered', 'pure', 'measured')),
    exercise  TEXT NOT NULL,
    version   TEXT NOT NULL
) STRICT;

CREATE TABLE attempt (
    session           INTEGER NOT NULL REFERENCES session (id),
    number            INTEGER NOT NULL CHECK (number >= 1),
    t                 REAL NOT NULL,
    wanted            INTEGER NOT NULL CHECK (wanted >= 1),
    outcome           TEXT NOT NULL CHECK (outcome IN ('spoke', 'cracked', 'split', 'other', 'nothing')),
    tone_start        REAL,
    tone_end          REAL,
    partial           INTEGER CHECK (partial >= 1),
    hz                REAL CHECK (hz > 0),
    cents             REAL,
    spread_cents      REAL,
    attack_t          REAL,
    attack_known_at   REAL,
    attack_kind       TEXT CHECK (attack_kind IN ('tongued', 'air', 'unsure')),
    attack_rise_ms    REAL,
    attack_confidence REAL,
    speak_ms          REAL,
    path              TEXT CHECK (path IS NULL OR json_valid(path)), -- [[partial or null, seconds], ...]
    split             REAL CHECK (split BETWEEN 0 AND 1),
    level_dbfs        REAL,
    PRIMARY KEY (session, number),

    -- Every tone has these; where nothing sounded, all fields of the tone are empty together.
    CHECK ((tone_start IS NULL) = (tone_end IS NULL)),
    CHECK ((tone_start IS NULL) = (path IS NULL)),
    CHECK ((tone_start IS NULL) = (split IS NULL)),
    CHECK ((tone_start IS NULL) = (level_dbfs IS NULL)),
    CHECK (
        tone_start IS NOT NULL
        OR coalesce(partial, hz, cents, spread_cents, attack_t, speak_ms) IS NULL
    ),
    CHECK ((attack_t IS NULL) = (attack_known_at IS NULL)),
    CHECK ((attack_t IS NULL) = (attack_kind IS NULL)),
    CHECK ((attack_t IS NULL) = (attack_rise_ms IS NULL)),
    CHECK ((attack_t IS NULL) = (attack_confidence IS NULL))
) STRICT, WITHOUT ROWID;

-- Counting outcomes for the list of sessions reads this and not the wide rows: ten years stay quick on a slow card.
CREATE INDEX attempt_by_outcome ON attempt (session, outcome);

-- What was kept stays as it was kept, whichever program opens the file.
CREATE TRIGGER session_stays_on_delete BEFORE DELETE ON session
BEGIN SELECT RAISE(ABORT, 'the log keeps its sessions'); END;
CREATE TRIGGER session_stays_on_update BEFORE UPDATE ON session
BEGIN SELECT RAISE(ABORT, 'the log keeps its sessions'); END;
CREATE TRIGGER attempt_stays_on_delete BEFORE DELETE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
CREATE TRIGGER attempt_stays_on_update BEFORE UPDATE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
