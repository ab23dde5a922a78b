-- Stock: what lots there are, and every movement of them.
--
-- This text is history and is never edited; a change is a further numbered file.

-- A lot is remembered for good, also when its item is no longer in the tables, so `item` refers to
-- nothing here. `unit` is the unit the maker writes; NULL means the item's own.
CREATE TABLE lots (
    item TEXT NOT NULL CHECK (item <> ''),
    lot TEXT NOT NULL CHECK (lot <> ''),
    unit TEXT,
    received TEXT CHECK (received IS date(received, '+0 days')),
    use_by TEXT CHECK (use_by IS date(use_by, '+0 days')),
    status TEXT NOT NULL CHECK (status IN ('free', 'quarantine', 'blocked')),
    supplier TEXT,
    supplier_lot TEXT NOT NULL,
    PRIMARY KEY (item, lot)
) STRICT;

-- The maker's table of stock: which lots it lists, in its order. Their quantities are nowhere but
-- in the movements.
CREATE TABLE stock (
    row INTEGER PRIMARY KEY,
    item TEXT NOT NULL REFERENCES items (item),
    lot TEXT NOT NULL,
    UNIQUE (item, lot),
    FOREIGN KEY (item, lot) REFERENCES lots (item, lot)
) STRICT;

CREATE TABLE movement_kinds (
    kind TEXT PRIMARY KEY NOT NULL,
    meaning TEXT NOT NULL
) STRICT;

INSERT INTO movement_kinds (kind, meaning) VALUES
    ('opening', 'the first count of a lot'),
    ('recount', 'the difference that a later count found');

-- What came to a lot, or left it (below nothing). The quantity is exact in the movement's own
-- unit, which stays true when a later count of the lot is written in another one. On hand is the
-- sum of a lot's movements in the lot's unit; in every other unit they sum to nothing.
CREATE TABLE movements (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    day TEXT NOT NULL CHECK (day IS date(day, '+0 days')),
    item TEXT NOT NULL,
    lot TEXT NOT NULL,
    quantity TEXT NOT NULL
        CHECK (json_valid(quantity) AND quantity NOT GLOB '*[^0-9.-]*')
        CHECK (quantity + 0 <> 0),
    unit TEXT NOT NULL CHECK (unit <> ''),
    kind TEXT NOT NULL REFERENCES movement_kinds (kind),
    note TEXT NOT NULL,
    recorded TEXT NOT NULL CHECK (recorded IS strftime('%Y-%m-%dT%H:%M:%SZ', recorded, '+0 days')),
    FOREIGN KEY (item, lot) REFERENCES lots (item, lot)
) STRICT;

CREATE INDEX movements_of_a_lot ON movements (item, lot);

CREATE TRIGGER movements_are_never_changed BEFORE UPDATE ON movements BEGIN
    SELECT RAISE(ABORT, 'a movement is never changed: add one that corrects it');
END;
CREATE TRIGGER movements_are_never_removed BEFORE DELETE ON movements BEGIN
    SELECT RAISE(ABORT, 'a movement is never removed: add one that corrects it');
END;
-- INSERT OR REPLACE would remove a row without asking the trigger above.
CREATE TRIGGER movements_are_never_replaced BEFORE INSERT ON movements
WHEN EXISTS (SELECT 1 FROM movements WHERE id = NEW.id) BEGIN
    SELECT RAISE(ABORT, 'a movement is never replaced: add one that corrects it');
END;
