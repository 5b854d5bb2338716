"""The sums of a long record's fit, kept in models/sums.json and brought up to date by the units
that came, changed or went since, so that one more row costs no pass over a million.

Coefficients follow from the sums exactly; counts, repairs, what a spot earns and the newest sales
are brought up too. What a scale is (of blocks, errors, tails, spread, ranges, lift, days on the
market, and where knots and levels lie) stays as it was learned, until it could have moved:

- units that came, changed or went since are more than one in a hundred of the sales. A maximum of
  n sales moves, when m more come, by about sqrt(m / n) of its own standard error: a tenth here;
- a sale says a word that no sale said, or fills a column that no unit filled: a new level has no
  coefficient yet;
- sales more than a month later than the last one learned from are more than (s / walk)^2, some 160:
  then they tell where the level has walked to (s / sqrt(n)) better than the walk of a month did;
- settings that numbers are learned with, or the form of the file, are others;
- an earlier day is asked for, or a later one where units hang on the day (a date that was still to
  come, a sale without a date).

Then, and wherever the acts of the record do not tell what changed (rows that stand because they
were said again), where several people are told apart, and where anything of the file is not as it
was written, everything is learned from the whole record.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from pricing.advice.spot import Turned
from pricing.basis import files
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings, settings_digest
from pricing.basis.units import from_rows
from pricing.basis.version import __version__
from pricing.model import numbers, saved
from pricing.model.fold import over
from pricing.model.known import known_by
from pricing.model.price import ages, price_fit, ranges, sums
from pricing.model.price.layout import MOST_LEVELS
from pricing.model.price.price import PriceNumbers
from pricing.model.price.rounds import RoundsFound
from pricing.model.price.similar import Newest
from pricing.model.price.sums import PriceSums, Summed
from pricing.model.repair.repair_sums import RepairSums
from pricing.model.saletime.saletime import SaleTimeModel
from pricing.model.seen import Seen, sold_rows
from pricing.pipeline import gathering
from pricing.pipeline.fit_source import LEARNED_FROM, MOST_OPEN, KeptSums, Source, open_rows
from pricing.pipeline.gathering import Gathered
from pricing.record import since
from pricing.record.current import rows_at, units_for_models
from pricing.record.since import Stood

FORM = "1 " + __version__
MOST_MOVED, MONTH = 100, 31  # one sale in so many may have moved; days: see above


def of_fit(
    home: Home,
    settings: Settings,
    as_of: date,
    content: str,
    first: Gathered,
    made: tuple[PriceNumbers, Summed, SaleTimeModel],
) -> KeptSums | None:
    """What to keep of a fit of a whole record, None where its sums cannot be kept. content: hash of
    the record that was read."""
    day = as_of.isoformat()
    stood = since.stands(home, day) if len(first.words["owner"]) < 2 else None
    if stood is None or stood.record != content or stood.day > day:
        return None
    model, summed, times = made
    told = (_key(settings), day, day, summed.total.n, 0, 0)
    return KeptSums(stood, *told, model, times, summed, first)


def _key(settings: Settings) -> str:
    """What sums hang on beside the record: settings that are learned with, and the program."""
    return f"{settings_digest(settings)} {FORM}"


def brought_up(
    home: Home, settings: Settings, as_of: date, before: saved.Saved | None
) -> Source | None:
    """What a fit is made from where only what changed since the fit before is read; None where
    everything is to be learned anew."""
    kept = None if before is None else read(home, settings, before)
    day, today = as_of.isoformat(), float(as_of.toordinal())
    moved = None if kept is None else _changed(home, kept, day)
    if before is None or kept is None or moved is None:
        return None
    tables = [rows_at(home, ids) for ids in moved[:2]]
    units = (units_for_models(table.select(LEARNED_FROM), settings) for table in tables)
    old, new = (known_by(one, today) for one in units)
    gone, came = (gathering.look_at(one, settings, as_of) for one in (old, new))
    was = kept.price
    late = kept.late + int((sold_rows(new, as_of)[1] > was.encoding.last_day + MONTH).sum())
    if late > (was.error / max(was.walk, 1e-9)) ** 2 or _says_new(kept.first.seen, came.seen):
        return None
    less, more = (sums.sums_of(x, was.encoding, kept.summed.at, as_of) for x in (old, new))
    summed = replace(kept.summed, total=kept.summed.total - less + more)
    names = {name for table in tables for name in table.column("unit").to_pylist()}
    newest = _newest(_others(before.similar, names), settings)
    first = gathering.added(replace(_less(kept.first, gone), newest=newest), came)
    changed = kept.moved + len({*moved[0], *moved[1]})
    told = (kept.settings, day, kept.learned, kept.sales, changed, late)
    model = price_fit.brought_up(was, summed, first.seen)
    now = KeptSums(moved[2], *told, model, kept.saletime, summed, first)
    opened = [*_others(before.open_units(), names), *open_rows(tables[1])][-MOST_OPEN:]
    return Source(over(new), now.stood.record, opened, new, now)


def _changed(home: Home, kept: KeptSums, day: str) -> tuple[list[int], list[int], Stood] | None:
    """The rows that units had and have; None where another day is asked for, too many changed, or
    a column is new."""
    if day < kept.as_of or (kept.stood.hangs and day > kept.as_of):
        return None
    moved = since.touched(home, kept.stood, day, max(kept.sales // MOST_MOVED - kept.moved, 0))
    known = moved is not None and moved[2].day <= day and moved[2].columns == kept.stood.columns
    return moved if known else None


def _others(rows: Iterable[Mapping[str, Any]], names: Collection[str]) -> list[dict[str, Any]]:
    return [dict(row) for row in rows if row.get("unit") not in names]


def _newest(rows: list[dict[str, Any]], settings: Settings) -> Newest:
    """The newest sales as they were saved."""
    own = [name for name, kind in settings.attributes.items() if kind in ("number", "log")]
    return Newest(from_rows(rows, own), np.array([row["sold"] for row in rows]))


def _says_new(known: Seen, came: Seen) -> bool:
    """Whether sales say a word (or leave a blank) that none did; where a column has more words than
    get a coefficient, one more gets none."""
    for name, words in came.words.items():
        there = known.words.get(name, Counter())
        if there and came.blanks[name] and not known.blanks[name]:
            return True
        if len(there) < MOST_LEVELS and not words.keys() <= there.keys():
            return True
    return False


def _less(a: Gathered, b: Gathered) -> Gathered:
    """The counts of a first pass without those of some of its units."""
    if a.seen.ages is None or b.seen.ages is None:
        raise ValueError("what was seen of units has their ages counted")
    old = ages.added(a.seen.ages, replace(b.seen.ages, counts=-b.seen.ages.counts))
    words, blanks = _minus(a.seen.words, b.seen.words), a.seen.blanks - b.seen.blanks
    seen = replace(a.seen, n=a.seen.n - b.seen.n, words=words, blanks=blanks, ages=old)
    names = ("n", "n_sold", "repairs", "turned", "words")
    left: dict[str, Any] = {name: _minus(getattr(a, name), getattr(b, name)) for name in names}
    return replace(a, seen=seen, **left)


def _minus(a: Any, b: Any) -> Any:
    """One number, or table of them, less another; a row of sums of no unit (its first) is gone."""
    if b is None:
        return a
    if hasattr(a, "__dataclass_fields__"):
        return type(a)(**{name: _minus(x, getattr(b, name)) for name, x in vars(a).items()})
    if isinstance(a, Counter) or not isinstance(a, Mapping):
        return a - b
    left = {name: _minus(x, b.get(name)) for name, x in a.items()}
    return {name: x for name, x in left.items() if not isinstance(x, np.ndarray) or x[0] > 0.5}


# ---- the file

_FACTS = ("settings", "as_of", "learned", "sales", "moved", "late")


def keep(home: Home, kept: KeptSums | None, beside: Path) -> None:
    """Write the sums whole, or take them away where there are none; beside: the numbers' file."""
    path = home.models / "sums.json"
    if kept is None:
        path.unlink(missing_ok=True)
        return
    at, total, first = kept.summed.at, kept.summed.total, kept.first
    body = {name: getattr(kept, name) for name in _FACTS} | {
        "beside": beside.name,
        "stood": vars(kept.stood),
        "ranges": ranges.as_numbers(kept.price.ranges),
        "at": [at.mean, np.diag(at.covariance), at.scales, at.error],
        "flat": kept.summed.flat,
        "gram": [row[: i + 1].tolist() for i, row in enumerate(total.gram.T)],
        "total": [total.log_weights, total.n],
        "counts": [first.n, first.n_sold, first.seen.n],
        "ages": ages.as_numbers(first.seen.ages) if first.seen.ages else {},
        "words": _pairs([first.words, first.seen.words, first.seen.blanks]),
        "repairs": _pairs(vars(first.repairs)),
        "turned": _pairs(vars(first.turned)),
    }
    files.write_bytes(path, saved.sealed(body)[0])


def _pairs(told: Any) -> Any:
    """Tables as lists of pairs, so that any key can be written."""
    if isinstance(told, Mapping):
        return [[key, _pairs(x)] for key, x in told.items()]
    return list(map(_pairs, told)) if isinstance(told, list) else told


def read(home: Home, settings: Settings, beside: saved.Saved) -> KeptSums | None:
    """The sums that belong to a fit, None where there are none or they are not as written."""
    path = home.models / "sums.json"
    try:
        body = saved.read_sealed(path)[0] if path.exists() else {}
        ours = (body.get("settings"), body.get("beside")) == (_key(settings), beside.path.name)
        return _opened(body, settings, beside) if ours else None
    except (Refused, KeyError, TypeError, ValueError):
        return None


def _opened(body: Mapping[str, Any], settings: Settings, beside: saved.Saved) -> KeptSums:
    model = replace(beside.price, ranges=ranges.from_numbers(body["ranges"]))
    none = np.zeros(0)
    mean, doubt, scales = map(np.array, body["at"][:3])
    spread = (body["at"][3], model.gamma, model.nu)
    at = RoundsFound(mean, np.diag(doubt), scales, *spread, none, none, none, 0.0)
    gram = numbers.triangle(body, "gram", len(model.mean) + 1, 1e18).T
    summed = Summed(PriceSums(gram, *body["total"]), at, body["flat"])
    n, n_sold, sales = body["counts"]
    repairs, turned = dict(body["repairs"]), dict(body["turned"])
    words, told, blanks = body["words"]
    empty = gathering.look_at(from_rows([]), settings, date.fromisoformat(body["as_of"]))
    by_age = ages.from_numbers(body["ages"])
    seen = replace(empty.seen, n=sales, words=_counters(told), blanks=_counter(blanks), ages=by_age)
    tables = {name: _counters(repairs[name]) for name in ("paid", "heard")}
    cells, miles = _sums(repairs["cells"]), _counter(repairs["miles"])
    by_type = {name: _sums(x) for name, x in repairs["by_type"]}
    summed_up = RepairSums(cells=cells, by_type=by_type, miles=miles, **tables)
    ended = Turned(**turned | {"types": _counter(turned["types"])})
    counted: dict[str, Any] = {"repairs": summed_up, "turned": ended, "words": _counters(words)}
    first = replace(empty, n=n, n_sold=n_sold, seen=seen, **counted)
    made: dict[str, Any] = {name: body[name] for name in _FACTS}
    made |= {"price": model, "saletime": beside.saletime, "summed": summed, "first": first}
    return KeptSums(Stood(**body["stood"]), **made)


def _counter(pairs: Any) -> Counter[Any]:
    return Counter(dict(pairs))


def _counters(pairs: Any) -> dict[str, Counter[Any]]:
    return {name: _counter(x) for name, x in pairs}


def _sums(pairs: Any) -> dict[Any, np.ndarray]:
    return {tuple(x) if isinstance(x, list) else x: np.array(row, dtype=float) for x, row in pairs}
