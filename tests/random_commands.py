"""Random sequences of commands against a small model of the record: it is what the files and presses
that count say, one after the other.

    python tests/random_commands.py 1000    # so many sequences, by hand
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.pipeline import adding, by_hand, keeping
from pricing.record import entries
from pricing.record.current import read_current
from pricing.record.verify import verify_record

TODAY = date(2026, 11, 26)
STEPS = 14
COMPARED = ("type", "price", "parts", "note")
Units = dict[str, dict[str, Any]]


@dataclass
class Act:
    """What one file or press said. cells: unit -> column -> text; None: the unit was dropped."""

    number: int
    cells: dict[str, dict[str, str] | None]
    counts: bool = True
    # Units that it brought in and of which something was said before it was taken back: there is
    # no state to go back to, and the undo tells so
    stays: set[str] = field(default_factory=set)


@dataclass
class Walk:
    """A record, the model beside it, and what was done, for whoever has to look for a mistake."""

    chance: random.Random
    folder: Path
    home: Home
    acts: list[Act] = field(default_factory=list)
    files: list[tuple[Path, int]] = field(default_factory=list)
    told: list[str] = field(default_factory=list)
    n: int = 100
    # units that no act speaks of any more, but that were told to stay: whether they do is left open
    open: set[str] = field(default_factory=set)

    def fresh(self) -> str:
        """A figure that nothing had before, so that no row says an earlier state."""
        self.n += 1
        return f"{self.n}.00"

    def model(self) -> Units:
        units: Units = {}
        for act in self.acts:
            for unit, cells in act.cells.items():
                if not (act.counts or unit in act.stays):
                    continue
                if cells is None:
                    units.pop(unit, None)
                else:
                    units[unit] = {**units.get(unit, {}), **cells}
        spoken_of = {unit for act in self.acts if act.counts for unit in act.cells} - self.open
        return {unit: cells for unit, cells in units.items() if unit in spoken_of}

    def stored(self) -> Units:
        rows = read_current(self.home).to_pylist() if self.acts else []
        return {
            row["key"]: {name: f"{row[name]}" for name in COMPARED if row[name] is not None}
            for row in rows
            if row["key"] not in self.open
        }

    def newest(self) -> int:
        return entries.load(self.home).entries[-1].number


def add_a_sheet(walk: Walk) -> None:
    """Some new units, some corrected, some as they stand."""
    known, rows = walk.model(), {}
    for at in sorted(walk.chance.sample(range(1, 9), walk.chance.randrange(1, 6))):
        unit = f"U{at}"
        same = known.get(unit, {})
        is_plain = {"price", "parts", "type"} <= same.keys() and all(
            act.counts for act in walk.acts if unit in act.cells
        )
        if is_plain and walk.chance.random() < 0.4:
            rows[unit] = {name: same[name] for name in ("type", "price", "parts")}
        else:
            rows[unit] = {"type": "oven", "price": walk.fresh(), "parts": walk.fresh()}
    path = walk.folder / f"sheet-{len(walk.files)}.csv"
    path.write_text(
        "Unit,Type,Sale price,Parts,Outcome\n"
        + "".join(f"{unit},{row['type']},{row['price']},{row['parts']},sold\n"
                  for unit, row in rows.items())
    )  # fmt: skip
    added = adding.add(walk.home, path, Settings(), TODAY)
    walk.told.append(f"add {path.name} {rows}")
    if added.entry is not None:
        walk.acts.append(Act(added.entry.number, rows))
        walk.files.append((path, added.entry.number))


def add_an_old_sheet(walk: Walk) -> None:
    """A file that counts changes nothing, whatever came after it."""
    old = [(path, number) for path, number in walk.files if _counts(walk, number)]
    if old:
        path, _ = walk.chance.choice(old)
        walk.told.append(f"again {path.name}")
        assert adding.add(walk.home, path, Settings(), TODAY).entry is None


def _counts(walk: Walk, number: int) -> bool:
    return any(act.number == number and act.counts for act in walk.acts)


def press(walk: Walk) -> None:
    """One column of one unit, on the page."""
    if known := sorted(walk.model()):
        unit = walk.chance.choice(known)
        row = by_hand.current(walk.home, unit)
        assert row is not None
        columns = ("price", "parts", "note") if row["outcome"] == "sold" else ("parts", "note")
        cells = {walk.chance.choice(columns): walk.fresh()}
        _, number = by_hand.change_unit(
            walk.home, unit, cells, int(row["batch"]), Settings(), TODAY, "changed"
        )
        walk.told.append(f"press {unit} {cells}")
        walk.acts.append(Act(number, {unit: cells}))


def write_a_new_unit(walk: Walk) -> None:
    unit = f"N{walk.chance.randrange(1, 4)}"
    cells = {"type": "gas range", "parts": walk.fresh()}
    walk.told.append(f"new {unit}")
    try:
        _, number = by_hand.new_unit(walk.home, {"unit": unit, **cells}, Settings(), TODAY)
    except Refused:
        assert unit in walk.model()
    else:
        walk.acts.append(Act(number, {unit: cells}))


def drop(walk: Walk) -> None:
    if known := sorted(walk.model()):
        unit = walk.chance.choice(known)
        walk.told.append(f"drop {unit}")
        walk.acts.append(Act(keeping.drop(walk.home, unit, TODAY).number, {unit: None}))


def undo(walk: Walk) -> None:
    """Any act that counts, not only the last."""
    if counting := [act for act in walk.acts if act.counts]:
        act = walk.chance.choice(counting)
        walk.told.append(f"undo {act.number}")
        keeping.undo(walk.home, str(act.number), TODAY)
        at = walk.acts.index(act)
        before = Walk(walk.chance, walk.folder, walk.home, walk.acts[:at]).model()
        later = {unit for one in walk.acts[at + 1 :] if one.counts for unit in one.cells}
        act.stays = {unit for unit in act.cells if unit not in before and unit in later}
        act.counts = False
        walk.open |= {unit for unit in act.cells if _only_stays(walk, unit)}


def _only_stays(walk: Walk, unit: str) -> bool:
    said = [act for act in walk.acts if unit in act.cells]
    return not any(act.counts for act in said) and any(unit in act.stays for act in said)


def undo_back(walk: Walk) -> None:
    if taken := [act for act in walk.acts if not act.counts]:
        act = walk.chance.choice(taken)
        walk.told.append(f"back {act.number}")
        keeping.undo(walk.home, str(act.number), TODAY, back=True)
        act.counts = True
        at = walk.acts.index(act)
        later = {unit for one in walk.acts[at + 1 :] if one.counts for unit in one.cells}
        # a press holds its unit whole: brought back alone, the unit is there again
        before = Walk(walk.chance, walk.folder, walk.home, walk.acts[:at]).model()
        walk.open |= {
            unit
            for unit, cells in act.cells.items()
            if unit not in before and cells is not None and "type" not in cells
        }
        # a drop brought back takes nothing of a unit that is spoken of since
        walk.open |= {unit for unit, cells in act.cells.items() if cells is None and unit in later}


def backup_and_restore(walk: Walk) -> None:
    """The restored home is the home from now on."""
    if walk.acts:
        n = len(walk.told)
        walk.told.append("restore")
        keeping.backup(walk.home, walk.folder / f"{n}.zip")
        walk.home = Home(walk.folder / f"home-{n}")
        keeping.restore(walk.home, walk.folder / f"{n}.zip")


def export_and_add(walk: Walk) -> None:
    """What is exported comes back the same in an empty home; its own record knows it all."""
    if walk.model():
        n = len(walk.told)
        walk.told.append("export")
        out = walk.folder / f"export-{n}.csv"
        keeping.export(walk.home, out)
        fresh = Walk(walk.chance, walk.folder, Home(walk.folder / f"fresh-{n}"), [Act(0, {})])
        adding.add(fresh.home, out, Settings(), TODAY)
        sold = {unit for unit, cells in walk.model().items() if "type" in cells}
        assert {k: v for k, v in fresh.stored().items() if k in sold} == {
            unit: cells for unit, cells in walk.stored().items() if unit in sold
        }


def take_in_an_old_copy(walk: Walk) -> None:
    """A copy of the record from before holds nothing that it does not."""
    if walk.acts:
        n = len(walk.told)
        walk.told.append("old copy")
        copy = walk.folder / f"copy-{n}"
        shutil.copytree(walk.home.path, copy)
        press(walk)
        assert not keeping.merge(walk.home, copy, TODAY).acts


COMMANDS: tuple[tuple[int, Callable[[Walk], None]], ...] = (
    (6, add_a_sheet),
    (2, add_an_old_sheet),
    (4, press),
    (2, write_a_new_unit),
    (2, drop),
    (4, undo),
    (2, undo_back),
    (1, backup_and_restore),
    (1, export_and_add),
    (1, take_in_an_old_copy),
)


def walk_once(seed: int, folder: Path) -> None:
    """One sequence; after each command the record is the model, and whole."""
    walk = Walk(random.Random(seed), folder, Home(folder / "home"))
    weights, commands = zip(*COMMANDS, strict=True)
    for _ in range(STEPS):
        walk.chance.choices(commands, weights)[0](walk)
        stored, model = walk.stored(), walk.model()
        assert stored == model, (seed, walk.told, _differing(stored, model))
    assert verify_record(walk.home).damaged == (), (seed, walk.told)


def _differing(stored: Units, model: Units) -> dict[str, tuple[Any, Any]]:
    return {
        unit: (stored.get(unit), model.get(unit))
        for unit in stored.keys() | model.keys()
        if stored.get(unit) != model.get(unit)
    }


def main(n: int, first: int = 0) -> None:
    failed = 0
    for seed in range(first, first + n):
        folder = Path(tempfile.mkdtemp())
        try:
            walk_once(seed, folder)
        except AssertionError as error:
            failed += 1
            print(seed, error or traceback.format_exc(limit=-1))
        shutil.rmtree(folder, ignore_errors=True)
    print(f"{n} sequences of {STEPS} commands: {failed} differ")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
