-- From form 2 back to 1: without how easily each tone spoke.

INSERT INTO temp.dropped
SELECT 'tries with how easily they spoke', count(*) FROM attempt
WHERE coalesce(push_db, unsteady_db, clipped) IS NOT NULL;

CREATE TABLE attempt_old (
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

INSERT INTO attempt_old (
    session, number, t, wanted, outcome, tone_start, tone_end, partial, hz, cents, spread_cents, attack_t,
    attack_known_at, attack_kind, attack_rise_ms, attack_confidence, speak_ms, path, split, level_dbfs
)
SELECT
    session, number, t, wanted, outcome, tone_start, tone_end, partial, hz, cents, spread_cents, attack_t,
    attack_known_at, attack_kind, attack_rise_ms, attack_confidence, speak_ms, path, split, level_dbfs
FROM attempt;

DROP TABLE attempt;
ALTER TABLE attempt_old RENAME TO attempt;

CREATE INDEX attempt_by_outcome ON attempt (session, outcome);

CREATE TRIGGER attempt_stays_on_delete BEFORE DELETE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
CREATE TRIGGER attempt_stays_on_update BEFORE UPDATE ON attempt
BEGIN SELECT RAISE(ABORT, 'the log keeps its tries'); END;
