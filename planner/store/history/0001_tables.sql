-- The maker's tables: names and columns are those of the tables she writes.
--
-- This text is history. Files exist that were made with it, so it is never edited; a change is a
-- further numbered file.
--
-- row            the row as a spreadsheet counts it; the header is row 1
-- numbers        TEXT, so that 0.1 stays 0.1: a JSON number of digits and at most one point
--                (IS NULL OR: to some versions of SQLite NULL is no JSON)
-- whole numbers  INTEGER
-- dates          TEXT, YYYY-MM-DD, a day that the calendar has (IS, because date() of other text
--                is NULL; '+0 days', because without it date() lets 2026-02-30 pass)
-- Bounds that only catch slips of the keyboard (a price below a thousand million) are left to the
-- reader of the tables; what can never make sense (a price below nothing) is refused here too.

CREATE TABLE workshop (
    row INTEGER PRIMARY KEY CHECK (row = 2),
    name TEXT NOT NULL CHECK (name <> ''),
    currency TEXT NOT NULL CHECK (currency GLOB '[A-Z][A-Z][A-Z]'),
    country TEXT CHECK (country GLOB '[A-Z][A-Z]'),
    subdivision TEXT,
    horizon_days INTEGER NOT NULL CHECK (horizon_days >= 1),
    receive_days INTEGER NOT NULL CHECK (receive_days >= 0),
    capital_percent TEXT NOT NULL
        CHECK (json_valid(capital_percent) AND capital_percent NOT GLOB '*[^0-9.]*')
        CHECK (capital_percent + 0 <= 100),
    late_percent TEXT NOT NULL
        CHECK (json_valid(late_percent) AND late_percent NOT GLOB '*[^0-9.]*')
        CHECK (late_percent + 0 <= 100),
    launch_percent TEXT NOT NULL
        CHECK (json_valid(launch_percent) AND launch_percent NOT GLOB '*[^0-9.]*'),
    restock_percent TEXT NOT NULL
        CHECK (json_valid(restock_percent) AND restock_percent NOT GLOB '*[^0-9.]*')
        CHECK (restock_percent + 0 <= 100),
    safety_percent TEXT NOT NULL
        CHECK (json_valid(safety_percent) AND safety_percent NOT GLOB '*[^0-9.]*')
        CHECK (safety_percent + 0 <= 100),
    clean_down TEXT NOT NULL
        CHECK (json_valid(clean_down) AND clean_down NOT GLOB '*[^0-9.]*'),
    frozen_days INTEGER NOT NULL CHECK (frozen_days >= 0)
) STRICT;

CREATE TABLE hands (
    row INTEGER PRIMARY KEY,
    person TEXT NOT NULL CHECK (person <> ''),
    weekday TEXT NOT NULL CHECK (weekday IN (
        'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'
    )),
    minutes INTEGER NOT NULL CHECK (minutes BETWEEN 0 AND 1440),
    UNIQUE (person, weekday)
) STRICT;

-- `who` is the word "workshop", a person or a supplier, so it refers to no single table.
CREATE TABLE closures (
    row INTEGER PRIMARY KEY,
    who TEXT NOT NULL CHECK (who <> ''),
    first_day TEXT NOT NULL CHECK (first_day IS date(first_day, '+0 days')),
    last_day TEXT NOT NULL CHECK (last_day IS date(last_day, '+0 days')),
    reason TEXT NOT NULL,
    UNIQUE (who, first_day)
) STRICT;

CREATE TABLE extra_days (
    row INTEGER PRIMARY KEY,
    day TEXT NOT NULL CHECK (day IS date(day, '+0 days')),
    person TEXT NOT NULL CHECK (person <> ''),
    minutes INTEGER NOT NULL CHECK (minutes BETWEEN 0 AND 1440),
    UNIQUE (day, person)
) STRICT;

-- Every name that a formula or a lot can mean. Its triggers, below, keep it: one name is one
-- material, preparation or product, never two of them.
CREATE TABLE items (
    item TEXT PRIMARY KEY NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('material', 'preparation', 'product'))
) STRICT;

CREATE TABLE materials (
    row INTEGER PRIMARY KEY,
    material TEXT NOT NULL UNIQUE CHECK (material <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('ingredient', 'packaging', 'consumable')),
    unit TEXT NOT NULL CHECK (unit IN ('g', 'ml', 'ea')),
    density_g_per_ml TEXT CHECK (
        density_g_per_ml IS NULL
        OR (json_valid(density_g_per_ml) AND density_g_per_ml NOT GLOB '*[^0-9.]*')
    )
        CHECK (density_g_per_ml + 0 > 0),
    safety_stock TEXT NOT NULL
        CHECK (json_valid(safety_stock) AND safety_stock NOT GLOB '*[^0-9.]*'),
    receive_days INTEGER CHECK (receive_days >= 0),
    caution TEXT NOT NULL,
    note TEXT NOT NULL
) STRICT;

CREATE TABLE preparations (
    row INTEGER PRIMARY KEY,
    preparation TEXT NOT NULL UNIQUE CHECK (preparation <> ''),
    unit TEXT NOT NULL CHECK (unit IN ('g', 'ml', 'ea')),
    batch_size TEXT NOT NULL
        CHECK (json_valid(batch_size) AND batch_size NOT GLOB '*[^0-9.]*')
        CHECK (batch_size + 0 > 0),
    yield_percent TEXT NOT NULL
        CHECK (json_valid(yield_percent) AND yield_percent NOT GLOB '*[^0-9.]*')
        CHECK (yield_percent + 0 > 0 AND yield_percent + 0 <= 100),
    make_minutes INTEGER NOT NULL CHECK (make_minutes BETWEEN 0 AND 1440),
    ready_days INTEGER NOT NULL CHECK (ready_days >= 0),
    shelf_life_days INTEGER CHECK (shelf_life_days >= 1),
    vessel TEXT REFERENCES vessels (vessel),
    vessel_minutes INTEGER NOT NULL CHECK (vessel_minutes BETWEEN 0 AND 1440),
    safety_stock TEXT NOT NULL
        CHECK (json_valid(safety_stock) AND safety_stock NOT GLOB '*[^0-9.]*'),
    caution TEXT NOT NULL,
    density_g_per_ml TEXT CHECK (
        density_g_per_ml IS NULL
        OR (json_valid(density_g_per_ml) AND density_g_per_ml NOT GLOB '*[^0-9.]*')
    )
        CHECK (density_g_per_ml + 0 > 0)
) STRICT;

CREATE TABLE products (
    row INTEGER PRIMARY KEY,
    product TEXT NOT NULL UNIQUE CHECK (product <> ''),
    line TEXT NOT NULL CHECK (line <> ''),
    pour_g TEXT NOT NULL
        CHECK (json_valid(pour_g) AND pour_g NOT GLOB '*[^0-9.]*')
        CHECK (pour_g + 0 > 0),
    net_g TEXT NOT NULL
        CHECK (json_valid(net_g) AND net_g NOT GLOB '*[^0-9.]*')
        CHECK (net_g + 0 > 0),
    price TEXT NOT NULL
        CHECK (json_valid(price) AND price NOT GLOB '*[^0-9.]*'),
    wholesale_price TEXT CHECK (
        wholesale_price IS NULL
        OR (json_valid(wholesale_price) AND wholesale_price NOT GLOB '*[^0-9.]*')
    ),
    mould TEXT NOT NULL REFERENCES moulds (mould),
    place TEXT REFERENCES places (place),
    set_days INTEGER NOT NULL CHECK (set_days >= 0),
    vessel TEXT NOT NULL REFERENCES vessels (vessel),
    vessel_minutes INTEGER NOT NULL CHECK (vessel_minutes BETWEEN 0 AND 1440),
    make_minutes INTEGER NOT NULL CHECK (make_minutes BETWEEN 0 AND 1440),
    make_minutes_per_bar TEXT NOT NULL
        CHECK (json_valid(make_minutes_per_bar) AND make_minutes_per_bar NOT GLOB '*[^0-9.]*'),
    unmould_minutes INTEGER NOT NULL CHECK (unmould_minutes BETWEEN 0 AND 1440),
    pack_minutes_per_bar TEXT NOT NULL
        CHECK (json_valid(pack_minutes_per_bar) AND pack_minutes_per_bar NOT GLOB '*[^0-9.]*'),
    cure_days INTEGER NOT NULL CHECK (cure_days >= 0),
    tray TEXT NOT NULL REFERENCES trays (tray),
    bars_per_tray INTEGER NOT NULL CHECK (bars_per_tray >= 1),
    loss_percent TEXT NOT NULL
        CHECK (json_valid(loss_percent) AND loss_percent NOT GLOB '*[^0-9.]*')
        CHECK (loss_percent + 0 < 100),
    reject_percent TEXT NOT NULL
        CHECK (json_valid(reject_percent) AND reject_percent NOT GLOB '*[^0-9.]*')
        CHECK (reject_percent + 0 <= 100),
    keep_bars INTEGER NOT NULL CHECK (keep_bars >= 0),
    shelf_life_days INTEGER CHECK (shelf_life_days >= 1),
    max_batches_per_day INTEGER CHECK (max_batches_per_day >= 1),
    importance TEXT NOT NULL
        CHECK (json_valid(importance) AND importance NOT GLOB '*[^0-9.]*')
) STRICT;

CREATE TRIGGER materials_are_items AFTER INSERT ON materials BEGIN
    INSERT INTO items (item, kind) VALUES (NEW.material, 'material');
END;
CREATE TRIGGER preparations_are_items AFTER INSERT ON preparations BEGIN
    INSERT INTO items (item, kind) VALUES (NEW.preparation, 'preparation');
END;
CREATE TRIGGER products_are_items AFTER INSERT ON products BEGIN
    INSERT INTO items (item, kind) VALUES (NEW.product, 'product');
END;
CREATE TRIGGER removed_materials_are_no_items AFTER DELETE ON materials BEGIN
    DELETE FROM items WHERE item = OLD.material;
END;
CREATE TRIGGER removed_preparations_are_no_items AFTER DELETE ON preparations BEGIN
    DELETE FROM items WHERE item = OLD.preparation;
END;
CREATE TRIGGER removed_products_are_no_items AFTER DELETE ON products BEGIN
    DELETE FROM items WHERE item = OLD.product;
END;

CREATE TABLE batch_sizes (
    row INTEGER PRIMARY KEY,
    product TEXT NOT NULL REFERENCES products (product),
    bars INTEGER NOT NULL CHECK (bars >= 1),
    UNIQUE (product, bars)
) STRICT;

CREATE TABLE formulas (
    row INTEGER PRIMARY KEY,
    item TEXT NOT NULL REFERENCES items (item),
    part TEXT NOT NULL REFERENCES items (item),
    percent TEXT NOT NULL
        CHECK (json_valid(percent) AND percent NOT GLOB '*[^0-9.]*')
        CHECK (percent + 0 > 0 AND percent + 0 <= 100),
    UNIQUE (item, part)
) STRICT;

CREATE TABLE packaging (
    row INTEGER PRIMARY KEY,
    product TEXT NOT NULL REFERENCES products (product),
    material TEXT NOT NULL REFERENCES materials (material),
    quantity_per_bar TEXT NOT NULL
        CHECK (json_valid(quantity_per_bar) AND quantity_per_bar NOT GLOB '*[^0-9.]*')
        CHECK (quantity_per_bar + 0 > 0),
    UNIQUE (product, material)
) STRICT;

CREATE TABLE moulds (
    row INTEGER PRIMARY KEY,
    mould TEXT NOT NULL UNIQUE CHECK (mould <> ''),
    count INTEGER NOT NULL CHECK (count >= 0),
    cavities INTEGER NOT NULL CHECK (cavities >= 1),
    turns_per_day INTEGER NOT NULL CHECK (turns_per_day >= 1)
) STRICT;

CREATE TABLE vessels (
    row INTEGER PRIMARY KEY,
    vessel TEXT NOT NULL UNIQUE CHECK (vessel <> ''),
    count INTEGER NOT NULL CHECK (count >= 0),
    capacity_g TEXT NOT NULL
        CHECK (json_valid(capacity_g) AND capacity_g NOT GLOB '*[^0-9.]*')
        CHECK (capacity_g + 0 > 0),
    minutes_per_day INTEGER NOT NULL CHECK (minutes_per_day BETWEEN 0 AND 1440)
) STRICT;

CREATE TABLE places (
    row INTEGER PRIMARY KEY,
    place TEXT NOT NULL UNIQUE CHECK (place <> ''),
    moulds INTEGER NOT NULL CHECK (moulds >= 0),
    turns_per_day INTEGER NOT NULL CHECK (turns_per_day >= 1)
) STRICT;

CREATE TABLE trays (
    row INTEGER PRIMARY KEY,
    tray TEXT NOT NULL UNIQUE CHECK (tray <> ''),
    count INTEGER NOT NULL CHECK (count >= 0)
) STRICT;

-- order_days is a JSON array of weekdays.
CREATE TABLE suppliers (
    row INTEGER PRIMARY KEY,
    supplier TEXT NOT NULL UNIQUE CHECK (supplier <> ''),
    lead_days INTEGER NOT NULL CHECK (lead_days >= 0),
    lead_days_late INTEGER CHECK (lead_days_late >= 0),
    lead_counts TEXT NOT NULL CHECK (lead_counts IN ('calendar', 'working')),
    order_days TEXT NOT NULL
        CHECK (json_valid(order_days) AND json_type(order_days) = 'array'),
    freight TEXT NOT NULL
        CHECK (json_valid(freight) AND freight NOT GLOB '*[^0-9.]*'),
    free_freight_from TEXT CHECK (
        free_freight_from IS NULL
        OR (json_valid(free_freight_from) AND free_freight_from NOT GLOB '*[^0-9.]*')
    ),
    minimum_order TEXT CHECK (
        minimum_order IS NULL
        OR (json_valid(minimum_order) AND minimum_order NOT GLOB '*[^0-9.]*')
    ),
    pay_days INTEGER NOT NULL CHECK (pay_days >= 0),
    note TEXT NOT NULL
) STRICT;

-- first_day and last_day may be --MM-DD, a day of every year; 2000 had every such day.
CREATE TABLE offers (
    row INTEGER PRIMARY KEY,
    supplier TEXT NOT NULL REFERENCES suppliers (supplier),
    material TEXT NOT NULL REFERENCES materials (material),
    pack_size TEXT NOT NULL
        CHECK (json_valid(pack_size) AND pack_size NOT GLOB '*[^0-9.]*')
        CHECK (pack_size + 0 > 0),
    pack_unit TEXT NOT NULL CHECK (pack_unit <> ''),
    price TEXT NOT NULL
        CHECK (json_valid(price) AND price NOT GLOB '*[^0-9.]*'),
    min_packs INTEGER NOT NULL CHECK (min_packs >= 1),
    max_packs INTEGER CHECK (max_packs >= 1),
    price_from_packs INTEGER NOT NULL CHECK (price_from_packs >= 1),
    lead_days INTEGER CHECK (lead_days >= 0),
    lead_days_late INTEGER CHECK (lead_days_late >= 0),
    first_day TEXT CHECK (
        first_day IS date(first_day, '+0 days')
        OR first_day IS '-' || substr(date('2000' || substr(first_day, 2), '+0 days'), 5)
    ),
    last_day TEXT CHECK (
        last_day IS date(last_day, '+0 days')
        OR last_day IS '-' || substr(date('2000' || substr(last_day, 2), '+0 days'), 5)
    ),
    shelf_life_days INTEGER CHECK (shelf_life_days >= 1)
) STRICT;

-- A blank first_day counts as one value here, where UNIQUE in the table would let it come twice.
CREATE UNIQUE INDEX offers_once ON offers (
    supplier, material, pack_size, pack_unit, price_from_packs, coalesce(first_day, '')
);

CREATE TABLE open_orders (
    row INTEGER PRIMARY KEY,
    reference TEXT NOT NULL CHECK (reference <> ''),
    supplier TEXT NOT NULL REFERENCES suppliers (supplier),
    material TEXT NOT NULL REFERENCES materials (material),
    quantity TEXT NOT NULL
        CHECK (json_valid(quantity) AND quantity NOT GLOB '*[^0-9.]*')
        CHECK (quantity + 0 > 0),
    unit TEXT NOT NULL CHECK (unit <> ''),
    ordered TEXT CHECK (ordered IS date(ordered, '+0 days')),
    expected TEXT NOT NULL CHECK (expected IS date(expected, '+0 days')),
    status TEXT NOT NULL CHECK (status IN ('confirmed', 'unconfirmed')),
    UNIQUE (reference, material, expected)
) STRICT;

CREATE TABLE in_progress (
    row INTEGER PRIMARY KEY,
    lot TEXT NOT NULL UNIQUE CHECK (lot <> ''),
    product TEXT REFERENCES products (product),
    preparation TEXT REFERENCES preparations (preparation),
    bars INTEGER CHECK (bars >= 1),
    quantity TEXT
        CHECK (quantity IS NULL OR (json_valid(quantity) AND quantity NOT GLOB '*[^0-9.]*'))
        CHECK (quantity + 0 > 0),
    poured TEXT NOT NULL CHECK (poured IS date(poured, '+0 days')),
    unmoulded TEXT CHECK (unmoulded IS date(unmoulded, '+0 days')),
    note TEXT NOT NULL
) STRICT;

CREATE TABLE demand (
    row INTEGER PRIMARY KEY,
    demand TEXT NOT NULL UNIQUE CHECK (demand <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('launch', 'order', 'retail', 'restock')),
    product TEXT NOT NULL REFERENCES products (product),
    quantity INTEGER NOT NULL CHECK (quantity >= 0),
    day TEXT NOT NULL CHECK (day IS date(day, '+0 days')),
    last_day TEXT CHECK (last_day IS date(last_day, '+0 days')),
    per TEXT CHECK (per IN ('week')),
    customer TEXT NOT NULL,
    launch TEXT,
    importance TEXT NOT NULL
        CHECK (json_valid(importance) AND importance NOT GLOB '*[^0-9.]*')
) STRICT;

CREATE TABLE sales (
    row INTEGER PRIMARY KEY,
    day TEXT NOT NULL CHECK (day IS date(day, '+0 days')),
    product TEXT NOT NULL REFERENCES products (product),
    quantity INTEGER NOT NULL,
    channel TEXT NOT NULL,
    reference TEXT NOT NULL
) STRICT;

CREATE TABLE budget (
    row INTEGER PRIMARY KEY,
    month TEXT NOT NULL UNIQUE CHECK (month IS strftime('%Y-%m', month || '-01')),
    amount TEXT NOT NULL
        CHECK (json_valid(amount) AND amount NOT GLOB '*[^0-9.]*')
) STRICT;

-- An amount may be below nothing: an account in the red.
CREATE TABLE cash (
    row INTEGER PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('balance', 'income', 'cost')),
    day TEXT NOT NULL CHECK (day IS date(day, '+0 days')),
    amount TEXT NOT NULL
        CHECK (json_valid(amount) AND amount NOT GLOB '*[^0-9.-]*'),
    every TEXT CHECK (every IN ('week', 'month')),
    note TEXT NOT NULL
) STRICT;
