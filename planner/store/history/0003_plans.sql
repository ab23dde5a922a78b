-- Plans: each one that was made, as JSON, and what it was made from.
--
-- This text is history and is never edited; a change is a further numbered file.

CREATE TABLE plans (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    created TEXT NOT NULL CHECK (created IS strftime('%Y-%m-%dT%H:%M:%SZ', created, '+0 days')),
    first_day TEXT NOT NULL CHECK (first_day IS date(first_day, '+0 days')),
    digest TEXT NOT NULL CHECK (length(digest) = 64 AND digest NOT GLOB '*[^0-9a-f]*'),
    solver_version TEXT NOT NULL CHECK (solver_version <> ''),
    seed INTEGER NOT NULL,
    settings TEXT NOT NULL CHECK (json_valid(settings) AND json_type(settings) = 'object'),
    certified INTEGER NOT NULL CHECK (certified = 1), -- no plan is kept that failed its replay
    plan TEXT NOT NULL CHECK (json_valid(plan) AND json_type(plan) = 'object')
) STRICT;

CREATE TRIGGER plans_are_never_changed BEFORE UPDATE ON plans BEGIN
    SELECT RAISE(ABORT, 'a kept plan is never changed: keep a new one');
END;
CREATE TRIGGER plans_are_never_removed BEFORE DELETE ON plans BEGIN
    SELECT RAISE(ABORT, 'a kept plan is never removed: keep a new one');
END;
CREATE TRIGGER plans_are_never_replaced BEFORE INSERT ON plans
WHEN EXISTS (SELECT 1 FROM plans WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'a kept plan is never replaced: keep a new one');
END;
