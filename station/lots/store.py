"""The log's file: opened, made, brought to the newest schema, set aside where damaged. A connection lives one question long.

Write-ahead log and `synchronous = FULL`: a transaction that was committed outlives a killed program and a power cut. Where the
disk cannot share memory between programs (network drives) SQLite's rollback journal does as well, more slowly.
"""

from __future__ import annotations

import fcntl
import os
import random
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TypeVar

from station.lots import schema

BUSY_SECONDS = 5.0
_ERROR_CLASS = 0xFF
_BUSY = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
_DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
# Beside the database while it is used: SQLite's own.
_BESIDE = ("-wal", "-shm", "-journal")
_FOREIGN = "{} is a database of another program: move it away"

T = TypeVar("T")


class LogBusy(TimeoutError):
    """Another program has been writing to the log all the while."""

    def __str__(self) -> str:
        return f"another station has been writing to the log for {BUSY_SECONDS:g} s"


class LogUnusable(OSError):
    """The log can be neither read nor written, for the reason given; what is in it is untouched."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        return self.reason


class Store:
    """The file of one library's log. `news` is what a person must hear once: damage set aside, a journal in place of WAL."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.news: list[str] = []
        self._journal_said = False

    def ask(self, question: Callable[[sqlite3.Connection], T]) -> T:
        """The answer to a question that writes nothing. Raises LogBusy, LogUnusable."""
        return self._tried(question)

    def write(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """All of the work committed and on the disk when this returns, or none of it. Raises LogBusy, LogUnusable."""

        def in_one_transaction(db: sqlite3.Connection) -> T:
            db.execute("BEGIN IMMEDIATE")
            try:
                found = work(db)
                db.execute("COMMIT")
            except BaseException:
                if db.in_transaction:
                    db.execute("ROLLBACK")
                raise
            return found

        return self._tried(in_one_transaction)

    def _tried(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """A busy log is waited for; a damaged one set aside, once, and begun anew. Work may run twice: rows are named by uuid."""
        until, damaged = time.monotonic() + BUSY_SECONDS, False
        while True:
            name = _name_of(self.path)
            try:
                with closing(self._opened()) as db:
                    return work(db)
            except sqlite3.DatabaseError as error:
                code = getattr(error, "sqlite_errorcode", 0) & _ERROR_CLASS
                if code in _DAMAGED and not damaged:
                    damaged = True
                    self._set_aside(name)
                elif code not in _BUSY:
                    raise LogUnusable(f"the log {self.path.name} cannot be used: {error}") from error
                elif time.monotonic() >= until:
                    raise LogBusy from error
                else:
                    time.sleep(random.uniform(0.001, 0.02))

    def _opened(self) -> sqlite3.Connection:
        db = sqlite3.connect(self.path, timeout=BUSY_SECONDS, isolation_level=None)
        try:
            self._set_up(db)
        except BaseException:
            db.close()
            raise
        return db

    def _set_up(self, db: sqlite3.Connection) -> None:
        version = _version(db)
        if version and db.execute("PRAGMA application_id").fetchone() != (schema.APPLICATION_ID,):
            raise LogUnusable(_FOREIGN.format(self.path.name))
        (mode,) = db.execute("PRAGMA journal_mode = WAL").fetchone()
        if mode != "wal" and not self._journal_said:
            self._journal_said = True
            self.news.append("this disk has no write-ahead log: the log uses a rollback journal, which is slower and as sure")
        db.execute("PRAGMA synchronous = FULL")
        db.execute("PRAGMA foreign_keys = ON")
        db.execute("PRAGMA cell_size_check = ON")
        if version > len(schema.STEPS):
            raise LogUnusable(f"the log {self.path.name} was written by a newer station: update the program")
        if version < len(schema.STEPS):
            self._migrate(db, version)

    def _migrate(self, db: sqlite3.Connection, version: int) -> None:
        """The newest schema, in one transaction; what was there is copied beside first."""
        if version:
            self._back_up(db, version)
        db.execute("BEGIN IMMEDIATE")
        try:
            done = _version(db)  # another station may have made the log since
            if not done and db.execute("SELECT count(*) FROM sqlite_master").fetchone() != (0,):
                raise LogUnusable(_FOREIGN.format(self.path.name))
            for step in schema.STEPS[done:]:
                for statement in _statements(step):
                    db.execute(statement)
            db.execute(f"PRAGMA user_version = {len(schema.STEPS)}")
            db.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
            db.execute("COMMIT")
        except BaseException:
            if db.in_transaction:
                db.execute("ROLLBACK")
            raise

    def _back_up(self, db: sqlite3.Connection, version: int) -> None:
        copy = self.path.with_name(f"{self.path.stem}-version-{version}-{_stamp()}.db")
        with closing(sqlite3.connect(copy)) as there:
            db.backup(there)
        self.news.append(f"the log was brought to a newer form; as it was it lies in {copy.name}")

    def _set_aside(self, name: tuple[int, int] | None) -> None:
        """Move the damaged file with all that belongs to it, unless another station has done so already."""
        with _alone(self.path.with_suffix(".lock")):
            if name is None or _name_of(self.path) != name:
                return
            aside = self.path.with_name(f"{self.path.stem}-damaged-{_stamp()}.db")
            for suffix in ("", *_BESIDE):
                part = Path(f"{self.path}{suffix}")
                if part.exists():
                    part.rename(f"{aside}{suffix}")
        self.news.append(f"the log was damaged and is set aside whole as {aside.name}; a new one was begun")


def _version(db: sqlite3.Connection) -> int:
    (version,) = db.execute("PRAGMA user_version").fetchone()
    return int(version)


def _statements(script: str) -> Iterator[str]:
    """A script's statements, so that they run in the transaction that is open (`executescript` would commit it)."""
    statement = ""
    for line in script.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def _name_of(path: Path) -> tuple[int, int] | None:
    try:
        info = path.stat()
    except OSError:
        return None
    return info.st_dev, info.st_ino


def _stamp() -> str:
    return f"{time.strftime('%Y%m%dT%H%M%S', time.gmtime())}.{time.time_ns() % 1_000_000_000:09d}Z"


@contextmanager
def _alone(lock: Path) -> Iterator[None]:
    file = os.open(lock, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
    finally:
        os.close(file)
