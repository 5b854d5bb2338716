"""Any sequence of add, correct, add again, undo, take back, kill and reopen, against a plain dict
of what the record must hold."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.pipeline import adding, keeping
from pricing.record import entries, store
from pricing.record.current import read_current
from pricing.record.verify import verify_record

TODAY = date(2026, 11, 25)


class Killed(BaseException):
    """Stands for SIGKILL: nothing in the program may catch it."""


class RecordMachine(RuleBasedStateMachine):
    """The model is the list of files that were added, each a dict number -> price, and which of
    them count; the newest leads."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.home = Home(self.folder / "home")
        self.added: list[tuple[str, dict[str, int], bool]] = []
        self.undone_last: list[int] = []
        self.n_files = 0
        self.price = 100

    def teardown(self) -> None:
        shutil.rmtree(self.folder, ignore_errors=True)

    @initialize()
    def start(self) -> None:
        """Every run begins with an empty home."""

    def current(self) -> dict[str, int]:
        found: dict[str, int] = {}
        for _, rows, counts in self.added:
            if counts:
                found |= rows
        return found

    def write(self, rows: dict[str, int], cents: str = ".00") -> Path:
        self.n_files += 1
        path = self.folder / f"f{self.n_files}.csv"
        path.write_text(
            "Unit,Type,Price,Outcome\n"
            + "".join(f"{number},oven,{price}{cents},sold\n" for number, price in rows.items())
        )
        return path

    def fresh_prices(self, numbers: set[int]) -> dict[str, int]:
        """Prices nobody had before, so that no row is an earlier state of a unit."""
        rows = {}
        for number in sorted(numbers):
            self.price += 1
            rows[f"U{number}"] = self.price
        return rows

    @rule(numbers=st.sets(st.integers(1, 8), min_size=1))
    def add_new_prices(self, numbers: set[int]) -> None:
        rows = self.fresh_prices(numbers)
        known = self.current()
        path = self.write(rows)
        added = adding.add(self.home, path, Settings(), TODAY)

        assert added.counts["accepted"] == len(rows.keys() - known.keys())
        assert added.counts["changed"] == len(rows.keys() & known.keys())
        self.added.append((path.name, rows, True))
        self.undone_last.clear()

    @precondition(lambda self: self.current())
    @rule()
    def add_what_is_known(self) -> None:
        """Another file that says the same: an act of its own, for what it says stands by it."""
        rows = self.current()
        path = self.write(rows, "." + "0" * (self.n_files + 3))  # other bytes, the same prices
        added = adding.add(self.home, path, Settings(), TODAY)

        assert added.counts["unchanged"] == added.seen
        self.added.append((path.name, rows, True))
        self.undone_last.clear()
        n_acts = len(entries.load(self.home).entries)
        assert adding.add(self.home, path, Settings(), TODAY).entry is None
        assert len(entries.load(self.home).entries) == n_acts

    @precondition(lambda self: any(counts for _, _, counts in self.added))
    @rule(draw=st.randoms(use_true_random=False))
    def undo_any(self, draw: object) -> None:
        """Not only the last: the record is what the files that count say."""
        places = [place for place, (_, _, counts) in enumerate(self.added) if counts]
        place = draw.choice(places)  # type: ignore[attr-defined]
        name, rows, _ = self.added[place]
        keeping.undo(self.home, name, TODAY)
        self.added[place] = (name, rows, False)
        self.undone_last.append(place)

    @precondition(lambda self: any(counts for _, _, counts in self.added))
    @rule()
    def undo(self) -> None:
        keeping.undo(self.home, None, TODAY)
        place = max(place for place, (_, _, counts) in enumerate(self.added) if counts)
        name, rows, _ = self.added[place]
        self.added[place] = (name, rows, False)
        self.undone_last.append(place)

    @precondition(lambda self: self.undone_last)
    @rule()
    def take_the_undo_back(self) -> None:
        keeping.undo(self.home, None, TODAY, back=True)
        place = self.undone_last.pop()
        name, rows, _ = self.added[place]
        self.added[place] = (name, rows, True)

    @rule(numbers=st.sets(st.integers(1, 8), min_size=1), step=st.integers(0, 12))
    def kill_while_adding(self, numbers: set[int], step: int) -> None:
        """The program dies at its k-th few hundred steps inside SQLite; the record is as before or as after."""
        rows = self.fresh_prices(numbers)
        path = self.write(rows)
        before = self.current()
        calls = 0

        def dying(*_: object) -> int:
            nonlocal calls
            calls += 1
            if calls > step:
                raise Killed
            return 0

        real = store.writing

        @contextmanager
        def watched(*args: object, **options: object) -> Iterator[object]:
            with real(*args, **options) as db:  # type: ignore[arg-type]
                db.set_progress_handler(dying, 400)
                yield db

        store.writing = watched
        try:
            adding.add(self.home, path, Settings(), TODAY)
        except (Killed, Refused):
            pass
        finally:
            store.writing = real
        found = self.stored()
        assert found in (before, before | rows)
        if found == before | rows:
            self.added.append((path.name, rows, True))
            self.undone_last.clear()

    def stored(self) -> dict[str, int]:
        return {row["key"]: int(row["price"]) for row in read_current(self.home).to_pylist()}

    @invariant()
    def the_record_is_the_model(self) -> None:
        assert self.stored() == self.current()
        total = sum((row["price"] for row in read_current(self.home).to_pylist()), Decimal(0))
        assert total == sum(self.current().values())

    @invariant()
    def every_file_is_whole(self) -> None:
        assert verify_record(self.home).damaged == ()


RecordMachine.TestCase.settings = settings(max_examples=10, stateful_step_count=10, deadline=None)
TestRecord = RecordMachine.TestCase
