"""The story of one person's own home out of a record that several keep together: settings and
fitted numbers, and nothing of the others.

The folder holds the price model with the person's level folded in (`model/price/member`), the
group's repair and sale-time numbers, the person's own past sales, open units and words; no other
member's sale, name, place or unit number. What stays of the others is what was learned from all:
averages and counts by type, maker, fault and repair.
"""

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from pricing.basis import files
from pricing.basis.frozen import frozen
from pricing.basis.home import DEMO_MARK, Home
from pricing.basis.problems import refused
from pricing.basis.settings import Settings, settings_digest
from pricing.basis.settings_file import settings_text
from pricing.basis.units import Units
from pricing.basis.words import canonical
from pricing.model import saved
from pricing.model.price import member, onward, similar
from pricing.model.price.similar import KEPT, KEPT_A_TYPE, Newest
from pricing.model.repair import skill
from pricing.model.repair.repair import RepairModel
from pricing.model.saved import Saved
from pricing.pipeline import gathering, proving
from pricing.pipeline.fit_source import GroupNumbers, Numbers, OnTop, Source, source_of
from pricing.pipeline.gathering import Gathered

# Units of a type below which what was paid for them is never read, and could be one unit's
LEAST_PAID = 5


@frozen
class Written:
    """What was written: the new home and what its numbers rest on."""

    home: Home
    group: GroupNumbers


def write(home: Home, name: str, out: Path, settings: Settings) -> Written:
    """Write one person's home into a new or empty folder, or its numbers anew into the one that is
    there: the record and settings there stay. Raises Refused where the folder holds something else,
    the fit knows nobody of that name, or the record has changed since the fit."""
    target = Home(out.expanduser().absolute())
    numbers = saved.load(home)
    owner = _known(canonical("owner", name, settings), numbers)
    before = group_of(target)
    if before is None or canonical("owner", before.owner, settings) != owner:
        _must_be_empty(target)
    first, content = _own_units(home, settings, numbers.as_of, owner)
    if content != numbers.record:
        what = "the record has changed since it was learned from"
        raise refused(what, "run pricing fit, then this again", file=str(home.path))
    model = member.without_places(member.alone(numbers.price, owner), first.words["sold_where"])
    own_names = {text for text in first.newest.units.word("unit").texts() if text}
    open_units = [row for row in numbers.open_units() if row.get("owner") == owner]
    own_names |= {str(row["unit"]) for row in open_units if row.get("unit")}
    people = len(member.told_apart(numbers.price))
    group = GroupNumbers(name.strip(), numbers.as_of, numbers.price.n, first.seen.n, people)
    alone = replace(numbers.repair, skill=skill.alone(numbers.repair.skill, owner))
    own_sales = similar.recent_rows(first.newest, model)
    new = saved.NewNumbers(
        as_of=numbers.as_of,
        record="",
        settings=numbers.settings,
        price=model,
        repair=_without_single_prices(alone),
        saletime=numbers.saletime,
        similar=[_only_own(row, own_names) for row in own_sales],
        words=gathering.own_words(first.words),
        spot_a_day=numbers.spot_a_day,
        open_units=[_only_own(row, own_names) for row in open_units],
    )
    # Later fits start from the first, which no fit removes
    for place in (_came_with(target), target):
        saved.save(place, new)
    _write_beside(target, group, settings, home.is_demo)
    return Written(target, group)


def _write_beside(target: Home, group: GroupNumbers, settings: Settings, is_demo: bool) -> None:
    """The note of where the numbers came from, the mark of a demo, the person's settings."""
    told = {**vars(group), "day": group.day.isoformat()}
    files.write_text(_note(target), json.dumps(told, ensure_ascii=False))
    if is_demo:
        files.write_text(target.path / DEMO_MARK, "")
    whose = f"Settings of {group.owner}, written by `pricing member` from a record that several"
    heading = (f"{whose} keep together.", "The file is yours: the program never rewrites it.")
    text = settings_text(replace(settings, owner=group.owner), heading)
    if not target.settings_file.exists():
        files.write_text(target.settings_file, text)


def group_of(home: Home) -> GroupNumbers | None:
    """What this home's numbers came with, where `write` made it; None for any other home."""
    try:
        kept = json.loads(_note(home).read_bytes())
        counts = {name: int(kept[name]) for name in ("sales", "own", "people")}
        return GroupNumbers(str(kept["owner"]), date.fromisoformat(kept["day"]), **counts)
    except (OSError, ValueError, KeyError, TypeError):
        return None


def came_with(home: Home) -> saved.Saved:
    """The numbers that a member's home came with. Raises Refused where they are not whole."""
    return saved.load(_came_with(home))


def _came_with(home: Home) -> Home:
    return Home(home.data / "group")


def _note(home: Home) -> Path:
    return home.data / "group" / "group.json"


def _must_be_empty(home: Home) -> None:
    if home.path.exists() and not home.path.is_dir():
        fix = "name a new folder with --out"
        raise refused("this is a file, not a folder", fix, file=str(home.path))
    if home.path.is_dir() and any(home.path.iterdir()):
        what = "this folder holds something already, and nothing is ever written over it"
        raise refused(what, "name a new or empty folder with --out", file=str(home.path))


def _known(name: str, numbers: saved.Saved) -> str:
    """The name as the fit knows it, or Refused with the nearest ones."""
    people = member.told_apart(numbers.price)
    if name in people:
        return name
    if not people:
        what = "the sales in this record do not name two owners"
        fix = "fill the owner column, add the sheet and run pricing fit"
        raise refused(f"{what}, so no one's prices are told apart", fix)
    from difflib import get_close_matches

    near = get_close_matches(name, people, n=3, cutoff=0.5) or list(people[:8])
    fix = f"did you mean {' or '.join(near)}?"
    if len(near) > 3:
        fix = f"some of those who have: {', '.join(near)}"
    raise refused(f"nobody named {name!r} has sales that tell in this record", fix)


def _own_units(home: Home, settings: Settings, as_of: date, owner: str) -> tuple[Gathered, str]:
    """What a fit's pass gathers of the person's own units, and what identifies the record."""
    look_at = partial(_look_at, settings=settings, as_of=as_of, owner=owner)
    with source_of(home, settings, as_of, "", "") as source:
        return source.fold(look_at, gathering.added), source.content


def _look_at(units: Units, settings: Settings, as_of: date, owner: str) -> Gathered:
    own = units.word("owner").lookup((owner,)) == 0
    return gathering.look_at(units.take(own), settings, as_of)


def _without_single_prices(model: RepairModel) -> RepairModel:
    """Drops prices of types with too few units to be used in an answer."""
    told = {name: paid for name, paid in model.paid.items() if not name or paid[0] >= LEAST_PAID}
    return replace(model, paid=told)


def _only_own(row: Mapping[str, Any], own: set[str]) -> dict[str, Any]:
    """A row without the unit numbers in it that are not the person's own."""
    named = ("pair", "from_unit")
    return {name: at for name, at in row.items() if name not in named or str(at) in own}


# ---- The story of a fit in one person's own home (`pipeline/member_home`): own sales on top of
# the numbers that came from the group
def numbers(
    home: Home,
    group: GroupNumbers,
    settings: Settings,
    as_of: date,
    source: Source,
    first: Gathered,
) -> Numbers:
    """The numbers of a member's home: the group's, and prices that moved on."""
    came = came_with(home)
    fresh = first.seen.sample_days > group.day.toordinal()
    sold, days = first.seen.sample.take(fresh), first.seen.sample_days[fresh]
    model = proving.as_wide_as_reached(home, onward.moved_on(came.price, sold, days))
    made = settings_digest(settings)
    new = saved.NewNumbers(
        *(as_of, source.content, made, model, came.repair, came.saletime),
        _newest([*came.similar, *similar.recent_rows(_after(first.newest, group.day), model)]),
        _words(came, gathering.own_words(first.words)),
        came.spot_a_day,
        [*_still_open(came, source), *source.open_units],
    )
    return Numbers(new, sold, OnTop(group, sold.n, len(fresh) - sold.n, came.settings != made))


def _after(newest: Newest, day: date) -> Newest:
    rows = np.flatnonzero(newest.days > day.toordinal())
    return Newest(newest.units.take(rows), newest.days[rows])


def _newest(rows: list[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """At most 40 a type, the newest kept, oldest first."""
    counts: Counter[object] = Counter()
    kept = []
    for row in reversed(rows):
        counts[row.get("type")] += 1
        if counts[row.get("type")] <= KEPT_A_TYPE:
            kept.append(row)
    return kept[:KEPT][::-1]


def _words(came: Saved, own: dict[str, list[str]]) -> dict[str, list[str]]:
    """Own words, those of the rows here first."""
    return {
        name: list(dict.fromkeys([*own.get(name, []), *came.words.get(name, [])]))
        for name in {**own, **came.words}
    }


def _still_open(came: Saved, source: Source) -> list[dict[str, object]]:
    """The units that were open at the group's fit and of which no row was written here since."""
    here = (
        set(source.everything.word("unit").texts())
        if source.everything is not None
        else {str(row.get("unit", "")) for row in source.open_units}
    )
    return [row for row in came.open_units() if str(row.get("unit", "")) not in here]
