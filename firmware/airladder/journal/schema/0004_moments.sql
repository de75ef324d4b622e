-- When a session began without trusting the date, what was planned and why, and the fundamentals that were measured.
-- Empty in sessions that were kept before this step: nobody asked then.

CREATE TABLE boot (
    number INTEGER PRIMARY KEY AUTOINCREMENT, -- the boot counter: counts the switch-ons in which something was kept
    key    TEXT NOT NULL UNIQUE               -- the kernel's boot_id: drawn anew at each, it says nothing of the box
) STRICT;

CREATE TABLE date_told (                      -- what somebody who knew said of the date; a new word changes no old one
    number     INTEGER PRIMARY KEY AUTOINCREMENT,
    boot       INTEGER NOT NULL REFERENCES boot (number),
    boottime_s REAL NOT NULL CHECK (boottime_s >= 0),           -- CLOCK_BOOTTIME
    wall       TEXT NOT NULL CHECK (datetime(wall) IS NOT NULL), -- ISO 8601 with offset: the date at that time
    told_by    TEXT NOT NULL CHECK (told_by IN ('buttons', 'computer'))
) STRICT;

ALTER TABLE session ADD COLUMN boot INTEGER REFERENCES boot (number);
ALTER TABLE session ADD COLUMN boottime_s REAL CHECK (boottime_s >= 0); -- CLOCK_BOOTTIME at its beginning
ALTER TABLE session ADD COLUMN trust TEXT CHECK (trust IN ('known', 'carried')); -- of `started`; carried: last date went on

CREATE TABLE planned (                        -- the exercises of the session's routine in order, and why each was chosen
    session  INTEGER NOT NULL REFERENCES session (id),
    number   INTEGER NOT NULL CHECK (number >= 1),
    exercise TEXT NOT NULL,
    reason   TEXT NOT NULL,                   -- empty where nobody chose: a routine that was named
    PRIMARY KEY (session, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE remark (                         -- what the coach said that day: of a plateau, a detour, missed days
    session INTEGER NOT NULL REFERENCES session (id),
    number  INTEGER NOT NULL CHECK (number >= 1),
    remark  TEXT NOT NULL,
    PRIMARY KEY (session, number)
) STRICT, WITHOUT ROWID;

-- The player's own fundamentals: what cents are counted from where they are `measured`.
CREATE VIEW fundamental AS
SELECT session, number, coalesce(asked_fingering, fingering) AS fingering, hz, cents, spread_cents
FROM attempt JOIN session ON session.id = attempt.session
WHERE wanted = 1 AND partial = 1 AND outcome IN ('spoke', 'cracked', 'restarted') AND coalesce(task, 'play') = 'play';

CREATE INDEX session_in_order ON session (coalesce(boot, 0), coalesce(boottime_s, 0), id);

CREATE TRIGGER boot_stays_on_delete BEFORE DELETE ON boot
BEGIN SELECT RAISE(ABORT, 'the log keeps its switch-ons'); END;
CREATE TRIGGER boot_stays_on_update BEFORE UPDATE ON boot
BEGIN SELECT RAISE(ABORT, 'the log keeps its switch-ons'); END;
CREATE TRIGGER date_told_stays_on_delete BEFORE DELETE ON date_told
BEGIN SELECT RAISE(ABORT, 'the log keeps what was said of the date'); END;
CREATE TRIGGER date_told_stays_on_update BEFORE UPDATE ON date_told
BEGIN SELECT RAISE(ABORT, 'the log keeps what was said of the date'); END;
CREATE TRIGGER planned_stays_on_delete BEFORE DELETE ON planned
BEGIN SELECT RAISE(ABORT, 'the log keeps its plans'); END;
CREATE TRIGGER planned_stays_on_update BEFORE UPDATE ON planned
BEGIN SELECT RAISE(ABORT, 'the log keeps its plans'); END;
CREATE TRIGGER remark_stays_on_delete BEFORE DELETE ON remark
BEGIN SELECT RAISE(ABORT, 'the log keeps its remarks'); END;
CREATE TRIGGER remark_stays_on_update BEFORE UPDATE ON remark
BEGIN SELECT RAISE(ABORT, 'the log keeps its remarks'); END;
