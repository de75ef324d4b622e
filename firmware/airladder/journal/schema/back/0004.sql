-- From form 4 back to 3: without switch-ons, plans, remarks, and the view of the fundamentals.

INSERT INTO temp.dropped
SELECT 'moments of sessions', count(*) FROM session WHERE boot IS NOT NULL
UNION ALL SELECT 'dates told', count(*) FROM date_told
UNION ALL SELECT 'planned exercises', count(*) FROM planned
UNION ALL SELECT 'remarks', count(*) FROM remark;

DROP VIEW fundamental;
DROP INDEX session_in_order;
DROP TABLE planned;
DROP TABLE remark;
DROP TABLE date_told;

CREATE TABLE session_old (
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

INSERT INTO session_old
SELECT id, started, source, invented, horn, fingering, a4_hz, against, exercise, version FROM session;

-- The numbers that were given, also to sessions that are no more.
INSERT INTO sqlite_sequence (name, seq)
SELECT 'session_old', 0 WHERE NOT EXISTS (SELECT 1 FROM sqlite_sequence WHERE name = 'session_old');
UPDATE sqlite_sequence
SET seq = coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'session'), 0) WHERE name = 'session_old';

DROP TABLE session;
ALTER TABLE session_old RENAME TO session;
DROP TABLE boot;

CREATE TRIGGER session_stays_on_delete BEFORE DELETE ON session
BEGIN SELECT RAISE(ABORT, 'the log keeps its sessions'); END;
CREATE TRIGGER session_stays_on_update BEFORE UPDATE ON session
BEGIN SELECT RAISE(ABORT, 'the log keeps its sessions'); END;
