"""Ads that the person saw, as rows of their own: an act like any other, undone like any other. The
table is made with the first ad, so that a record without one is as it was."""

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Refused, refused
from pricing.record import entries
from pricing.record.entries import Entry
from pricing.record.rows import checksum
from pricing.record.store import damaged, next_id, reading, record_file, writing

SEEN = "seen"  # the kind of act
TABLE = """create table ad (id integer primary key, source integer not null references source,
    of integer, said text not null, ask integer not null, seen text not null, listed text,
    gone text, place text not null, unit text not null, sum integer not null) strict"""
_COLUMNS = "id, source, of, said, ask, seen, listed, gone, place, unit"


@frozen
class Ad:
    """One ad. number: in the record, 0 before; ask: money; days as ISO text, None where not known;
    where: the place it stood; unit: what it said of the unit."""

    said: str
    ask: float
    seen: str
    unit: Mapping[str, Any]
    listed: str | None = None
    gone: str | None = None
    where: str = ""
    number: int = 0


def has_table(db: sqlite3.Connection) -> bool:
    """Whether an ad was ever written down here."""
    found = db.execute("select 1 from sqlite_master where type = 'table' and name = 'ad'")
    return found.fetchone() is not None


def write(home: Home, ads: Sequence[Ad], day: str) -> Entry:
    """Write ads down, as one act; one with a number is newly told of, and its newer row counts."""
    words = f"{len(ads)} ads seen" if len(ads) != 1 else f"ad seen: {ads[0].said}"[:80]
    with writing(home) as db:
        if not has_table(db):
            db.execute(TABLE)
        number = entries.of(db, home).next_number
        for place, ad in enumerate(ads, next_id(db, "ad")):
            row = (
                *(place, number, ad.number or None, ad.said, round(ad.ask * 100), ad.seen),
                *(ad.listed, ad.gone, ad.where, json.dumps(dict(ad.unit), ensure_ascii=False)),
            )
            db.execute(f"insert into ad values ({', '.join('?' * 11)})", (*row, checksum(*row)))
        entry = Entry(number, SEEN, day, by_hand=words, counts={SEEN: len(ads)})
        return entries.write(db, entry)


def read(home: Home) -> tuple[Ad, ...]:
    """The ads that count, in the order they were first told of."""
    with reading(home) as db:
        if not has_table(db):
            return ()
        undone = entries.of(db, home).undone
        newest: dict[int, Ad] = {}
        for *values, total in db.execute(f"select {_COLUMNS}, sum from ad order by id"):
            if checksum(*values) != total:
                raise Refused(damaged(record_file(home)))
            number, source, of, said, ask, seen, listed, gone, where, unit = values
            if source in undone:
                continue
            first = of or number
            facts = (said, ask / 100, seen, json.loads(unit), listed, gone, where)
            newest[first] = Ad(*facts, number=first)
        return tuple(newest.values())


def gone(home: Home, number: int, day: str, on: str) -> Entry:
    """Say of an ad that it is gone since a day. Raises Refused for an unknown number."""
    found = next((ad for ad in read(home) if ad.number == number), None)
    if found is None:
        raise refused(f"there is no ad number {number}", "see pricing seen")
    return write(home, [replace(found, gone=on)], day)


def copy(theirs: sqlite3.Connection, db: sqlite3.Connection, place: Mapping[int, int]) -> None:
    """The ads of another copy, of the acts that came in. place: their number of an act to ours."""
    if not has_table(theirs):
        return
    if not has_table(db):
        db.execute(TABLE)
    ours: dict[int, int] = {}
    for number, source, of, *rest in theirs.execute(f"select {_COLUMNS} from ad order by id"):
        if source not in place:
            ours[number] = number
            continue
        ours[number] = next_id(db, "ad")
        row = (ours[number], place[source], ours.get(of), *rest)
        db.execute(f"insert into ad values ({', '.join('?' * 11)})", (*row, checksum(*row)))
