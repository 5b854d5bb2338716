"""The fitted numbers as one JSON file: models/NNNN.json, with the units not yet sold beside it in
models/NNNN-open.json.

    {"schema":1,"sha256":"<of the body's bytes>","body":{"as_of":…, "record":…, "price":{…},
        "repair":{…}, "saletime":{…}, …}}

Every fit writes a new number and the highest number counts, so a file that a reader holds is never
replaced. A file that is damaged, tampered with or from a newer program is named and refused, never
passed over for an older one. Numbers only: nothing in the file can run, and every part checks its
own sizes and bounds (`model/numbers`).
"""

import json
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis import files
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Refused, refused
from pricing.model import numbers
from pricing.model.price import price
from pricing.model.repair import repair
from pricing.model.saletime import saletime

SCHEMA = 1
LARGEST = 48 * 2**20  # bytes; a fit of 300 columns and 2,000 similar sales needs about 3 MiB
KEPT = 5  # older fits stay for "how the answer has moved"; the rest are removed
_NAME = re.compile(r"(\d{4,9})\.json")
_ANY = re.compile(r"(\d{4,9})(?:-open)?\.json")
_HEAD = re.compile(rb'\{"schema":(\d{1,9}),"sha256":"([0-9a-f]{64})","body":')


@frozen
class Saved:
    """Everything an answer needs. record: hash of the record it was learned from, settings: of the
    settings; similar: recent sales, newest last; words: the person's own by column, commonest
    first; spot_a_day: what a spot earns a day, money; ads: of others, as `similar`, the asks as
    prices."""

    path: Path
    number: int
    as_of: date
    record: str
    settings: str
    price: price.PriceNumbers
    repair: repair.RepairModel
    saletime: saletime.SaleTimeModel
    similar: Sequence[Mapping[str, Any]]
    words: Mapping[str, list[str]]
    spot_a_day: float
    open_sha256: str
    ads: Sequence[Mapping[str, Any]] = ()

    def open_units(self) -> list[dict[str, Any]]:
        """The units that had not ended at the fit, as row dicts. Refused where that is damaged."""
        path = self.path.with_name(f"{self.path.stem}-open.json")
        body, digest = read_sealed(path)
        if digest != self.open_sha256:
            what = "this file does not belong to the fitted numbers beside it"
            fix = "run pricing fit"
            raise refused(what, fix, file=str(path))
        try:
            return numbers.rows(body, "units")
        except numbers.Damaged as error:
            raise _damaged(path, str(error)) from error


@frozen
class NewNumbers:
    """What a fit gives to be kept; the names are those of `Saved`."""

    as_of: date
    record: str
    settings: str
    price: price.PriceNumbers
    repair: repair.RepairModel
    saletime: saletime.SaleTimeModel
    similar: Sequence[Mapping[str, Any]]
    words: Mapping[str, Sequence[str]]
    spot_a_day: float
    open_units: Sequence[Mapping[str, Any]]
    ads: Sequence[Mapping[str, Any]] = ()


def save(home: Home, new: NewNumbers) -> Path:
    """Write the next number; the units first, so that no model is without them. Its path."""
    open_file, open_digest = sealed({"units": list(new.open_units)})
    body = {
        "as_of": new.as_of.isoformat(),
        "record": new.record,
        "settings": new.settings,
        "price": price.as_numbers(new.price),
        "repair": repair.as_numbers(new.repair),
        "saletime": saletime.as_numbers(new.saletime),
        "similar": list(new.similar),
        "words": {name: list(known) for name, known in new.words.items()},
        "spot_a_day": new.spot_a_day,
        "open_sha256": open_digest,
    } | ({"ads": list(new.ads)} if new.ads else {})
    model_file, _ = sealed(body)
    _read_back(home, model_file)
    # a fit that was killed between its two files leaves a number that is passed over and later
    # removed
    while True:
        number = max(_numbers(home, _ANY), default=0) + 1
        path = home.models / f"{number:04d}.json"
        try:
            files.write_bytes(path.with_name(f"{path.stem}-open.json"), open_file, replace=False)
            files.write_bytes(path, model_file, replace=False)
        except FileExistsError:  # another fit took the number in the meantime
            continue
        _remove_old(home, number)
        return path


def load(home: Home) -> Saved:
    """The fitted numbers with the highest number. Raises Refused where none are whole."""
    found = _numbers(home)
    if not found:
        what = "no record yet"
        fix = "start with pricing setup, or run pricing fit to answer from the starting figures"
        raise refused(what, fix, file=str(home.models))
    return load_file(home.models / f"{max(found):04d}.json")


def load_file(path: Path) -> Saved:
    """One model file, checked: its own SHA-256, its schema, and every size and bound in it."""
    body, _ = read_sealed(path)
    return _opened(path, body)


def _read_back(home: Home, sealed: bytes) -> None:
    """Refuses numbers that could not be opened again, before they are written."""
    text = sealed[sealed.index(b'"body":') + len(b'"body":') : -2]
    try:
        _opened(home.models / "0.json", json.loads(text))
    except Refused as broken:
        what = f"what was learned does not hold together ({broken.problems[0].what})"
        raise refused(
            what,
            "nothing was replaced, earlier numbers still answer; this is a fault of the"
            " program: please report it with your sheet",
            file=str(home.models),
        ) from broken


def _opened(path: Path, body: Mapping[str, Any]) -> Saved:
    """The numbers in the body of a model file, every size and bound checked."""
    try:
        known = numbers.table(body, "words")
        return Saved(
            path=path,
            number=int(path.stem),
            as_of=date.fromisoformat(numbers.text(body, "as_of")),
            price=price.from_numbers(numbers.table(body, "price")),
            repair=repair.from_numbers(numbers.table(body, "repair")),
            saletime=saletime.from_numbers(numbers.table(body, "saletime")),
            similar=numbers.rows(body, "similar", most=5_000),
            words={name: list(numbers.texts(known, name)) for name in known},
            spot_a_day=numbers.number(body, "spot_a_day", 0, 1e7),
            ads=numbers.rows(body, "ads", most=20_000) if "ads" in body else (),
            **{name: numbers.text(body, name) for name in ("record", "settings", "open_sha256")},
        )
    except (numbers.Damaged, KeyError, TypeError, ValueError, OverflowError, AttributeError) as why:
        raise _damaged(path, str(why)) from why


def newest(home: Home) -> Path | None:
    """The path of the newest fitted numbers, or None; nothing is read."""
    found = _numbers(home)
    return home.models / f"{max(found):04d}.json" if found else None


def _numbers(home: Home, pattern: re.Pattern[str] = _NAME) -> list[int]:
    if not home.models.is_dir():
        return []
    found = (pattern.fullmatch(entry.name) for entry in home.models.iterdir())
    return [int(match[1]) for match in found if match]


def sealed(body: Mapping[str, Any]) -> tuple[bytes, str]:
    """A table as the bytes of a sealed file, and its digest."""
    how: Any = {"allow_nan": False, "separators": (",", ":"), "ensure_ascii": False}
    text = json.dumps(numbers.plain(body), **how).encode()
    digest = files.sha256(text)
    return b'{"schema":%d,"sha256":"%s","body":%s}\n' % (SCHEMA, digest.encode(), text), digest


def read_sealed(path: Path) -> tuple[dict[str, Any], str]:
    """The body of a sealed file and its digest. Raises Refused where it is not as written."""
    if path.exists() and path.is_file() and path.stat().st_size > LARGEST:
        raise _damaged(path, "it is far too large")
    data = files.read_bytes(path)
    head = _HEAD.match(data)
    if head is None or not data.endswith(b"}\n"):
        raise _damaged(path, "it does not begin and end as it should")
    if int(head[1]) > SCHEMA:
        what = (
            f"these fitted numbers were written by a newer program (form {int(head[1])}, this"
            f" program knows {SCHEMA})"
        )
        raise refused(what, "update the program, or run pricing fit to learn again", file=str(path))
    text = data[head.end() : -2]
    if int(head[1]) != SCHEMA or files.sha256(text) != head[2].decode():
        raise _damaged(path, "its checksum does not fit what it holds")
    try:
        body = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise _damaged(path, "it is not the JSON that was written") from error
    if not isinstance(body, dict):
        raise _damaged(path, "it does not hold a table")
    return body, head[2].decode()


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number")


def _damaged(path: Path, why: str) -> Refused:
    what = f"this file of fitted numbers is damaged: {why}"
    fix = "remove it and run pricing fit; your record is not touched"
    return refused(what, fix, file=str(path))


def _remove_old(home: Home, newest_number: int) -> None:
    for number in set(_numbers(home, _ANY)):
        if number <= newest_number - KEPT:
            for name in (f"{number:04d}.json", f"{number:04d}-open.json"):
                with suppress(OSError):  # held open by a reader on Windows: removed at a later fit
                    (home.models / name).unlink(missing_ok=True)
