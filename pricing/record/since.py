"""Which units stand otherwise than they stood after an earlier act: the rows they had and have."""

import json
import sqlite3
from collections.abc import Iterable

from pricing.basis.files import sha256
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.record import entries
from pricing.record.store import reading

_HANGS = """select exists (select 1 from state where id > ? and (max(coalesce(got, ''),
    coalesce(listed, ''), coalesce(sold, '')) > ?
    or (price is not null and coalesce(got, listed, sold) is null)))"""


@frozen
class Stood:
    """Where a record stood. record: its content's hash; act, row: its last ones; acts: what
    identifies all acts up to there; undone: those of them that were taken back; day: the last on
    which an act was written; hangs: whether a day later than the one asked for would show more of
    it (a date to come, a sale without a date); columns: that its rows fill."""

    record: str
    act: int
    row: int
    acts: str
    undone: list[int]
    day: str
    hangs: bool
    columns: list[str]


def stands(home: Home, day: str) -> Stood | None:
    """Where the record stands, as of a day; None where a row counts only because a later act said
    it again."""
    with reading(home) as db:
        return _stood(db, entries.of(db, home), day)


def _stood(
    db: sqlite3.Connection, ledger: entries.Ledger, day: str, row: int = 0, hung: bool = False
) -> Stood | None:
    if entries.counts_now(db).kept:
        return None
    acts, content = ledger.entries, entries.content_of(ledger.counting())
    last = db.execute("select coalesce(max(id), 0) from state").fetchone()[0]
    hangs = hung or bool(db.execute(_HANGS, (row, day)).fetchone()[0])
    newest = max((act.day for act in acts), default="")
    columns = sorted({name for act in acts for name in act.filled})
    told = (content, ledger.next_number - 1, last, _chain(acts), sorted(ledger.undone))
    return Stood(*told, newest, hangs, columns)


def _chain(acts: tuple[entries.Entry, ...]) -> str:
    told = [(act.number, act.kind, act.mark, act.of, act.rows) for act in acts]
    return sha256(json.dumps(told).encode())


def touched(
    home: Home, then: Stood, day: str, most: int
) -> tuple[list[int], list[int], Stood] | None:
    """Of units that stand otherwise than `then`: ids of the rows of `state` that they had, and that
    they have, rising; and where the record stands. None where that cannot be told from the acts
    since (others came before them), or where these wrote more than `most` rows."""
    with reading(home) as db:
        ledger = entries.of(db, home)
        now = _stood(db, ledger, day, then.row, then.hangs)
        old = tuple(act for act in ledger.entries if act.number <= then.act)
        turned = {act for act in {*then.undone} ^ ledger.undone if act <= then.act}
        wrote = (act for act in ledger.entries if act.number > then.act or act.number in turned)
        if now is None or _chain(old) != then.acts or sum(act.rows for act in wrote) > most:
            return None
        units = dict(db.execute("select unit, 0 from state where id > ?", (then.row,)))
        for act in turned:
            units |= dict(db.execute("select unit, 0 from state where source = ?", (act,)))
        was = _standing(db, units, frozenset(then.undone), then.act)
        stands = _standing(db, units, ledger.undone, now.act)
    return sorted(was - stands), sorted(stands - was), now


def _standing(
    db: sqlite3.Connection, units: Iterable[str], undone: frozenset[int], last: int
) -> set[int]:
    """The rows in which some units stood after an act, those dropped by then left out."""
    told = "select id, source, gone from state where unit = ? and source <= ? order by id"
    found = set[int]()
    for unit in units:
        rows = [x for x in db.execute(told, (unit, last)) if x[1] not in undone]
        found |= {number for number, _, gone in rows[-1:] if not gone}
    return found
