"""The log's tables, version after version. Rows are added and never changed: the database itself refuses anything else."""

from __future__ import annotations

from station.bar.logged import KNOWN, LOT_KINDS, MARKS

# Tells our file from any other SQLite file ("STLG").
APPLICATION_ID = 0x53544C47


def _one_of(words: tuple[str, ...]) -> str:
    return ", ".join(f"'{word}'" for word in words)


_FIRST = f"""
CREATE TABLE lots (
    seq INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL CHECK (kind IN ({_one_of(LOT_KINDS)})),
    item TEXT NOT NULL, name TEXT NOT NULL, made TEXT NOT NULL, by TEXT NOT NULL CHECK (by <> ''),
    use_by TEXT, g REAL, ml REAL, diluted INTEGER, strength TEXT NOT NULL, store TEXT NOT NULL,
    allergens TEXT, may_contain TEXT NOT NULL, finishing TEXT NOT NULL, hazards TEXT NOT NULL,
    pieces REAL, code TEXT NOT NULL, target TEXT NOT NULL, water INTEGER, rounding TEXT NOT NULL, card TEXT NOT NULL,
    revision TEXT NOT NULL, text TEXT NOT NULL
);
CREATE TABLE weighings (
    seq INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE,
    lot TEXT NOT NULL REFERENCES lots (uuid), line INTEGER NOT NULL, item TEXT NOT NULL,
    wanted_g REAL NOT NULL, actual_g REAL NOT NULL, known TEXT NOT NULL CHECK (known IN ({_one_of(KNOWN)})),
    at TEXT NOT NULL, by TEXT NOT NULL CHECK (by <> ''), part TEXT NOT NULL, scale TEXT NOT NULL
);
CREATE TABLE measurements (
    seq INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE,
    lot TEXT NOT NULL REFERENCES lots (uuid), at TEXT NOT NULL, by TEXT NOT NULL CHECK (by <> ''),
    ta TEXT NOT NULL, ph REAL, brix REAL, temp_c REAL
);
CREATE TABLE marks (
    seq INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE,
    lot TEXT NOT NULL REFERENCES lots (uuid), kind TEXT NOT NULL CHECK (kind IN ({_one_of(MARKS)})),
    at TEXT NOT NULL, by TEXT NOT NULL CHECK (by <> ''), about TEXT NOT NULL, g REAL, why TEXT NOT NULL
);
CREATE INDEX lots_item ON lots (item);
CREATE INDEX weighings_lot ON weighings (lot);
CREATE INDEX weighings_part ON weighings (part);
CREATE INDEX measurements_lot ON measurements (lot);
CREATE INDEX marks_lot ON marks (lot);
CREATE INDEX marks_about ON marks (about) WHERE kind = 'voided';
"""

TABLES = ("lots", "weighings", "measurements", "marks")

_ONLY_ADDED = "".join(
    f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
    "BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;\n"
    for table in TABLES
    for verb in ("UPDATE", "DELETE")
)

# What a batch came to, said when it was finished.
_CAME_TO = """
ALTER TABLE marks ADD COLUMN ml REAL;
ALTER TABLE marks ADD COLUMN strength TEXT NOT NULL DEFAULT '';
"""

# What leads from each version to the next; version 0 is an empty file.
STEPS: tuple[str, ...] = (_FIRST + _ONLY_ADDED, _CAME_TO)
