"""Where a request finds home, day, settings and numbers; a file is read again when changed."""

import contextlib
import secrets
import shutil
import tempfile
import threading
import weakref
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

from flask import current_app, request

from pricing.advice.unsold import Waiting
from pricing.basis import decisions
from pricing.basis.columns import ENDED, OUTCOMES
from pricing.basis.home import Home
from pricing.basis.own_rows import rate
from pricing.basis.problems import Refused, refused
from pricing.basis.settings import Settings, load_settings
from pricing.model import saved as numbers
from pricing.model.saved import Saved
from pricing.pipeline import fit_source, reporting
from pricing.quarter.money import Books
from pricing.record.current import Standing, rows_at, standing
from pricing.record.entries import content_hash
from pricing.record.store import record_file
from pricing.web.refit import Refit

T = TypeVar("T")
MOST_MADE = 24  # comparisons kept ready
DEMO_COOKIE = "look_at_demo"  # of a browser that looks at the invented record
MOST_PRESSES = 500  # forms remembered, so that a double press does one thing


@dataclass
class JudgedUnits:
    """What is known of single open units while nothing that it hangs on changes: after a press on
    one unit the others need not be judged again. working: whether a thread goes through them."""

    stamp: object = None
    known: dict[str, Waiting] = field(default_factory=dict)
    working: bool = False
    lock: threading.Lock = field(default_factory=threading.Lock)

    def as_of(self, stamp: object) -> dict[str, Waiting]:
        """What is known while `stamp` is what it hangs on; nothing once that is another."""
        with self.lock:
            if self.stamp != stamp:
                self.stamp, self.known = stamp, {}
            return self.known

    def begin(self, long: bool) -> bool:
        """Whether a thread is to begin; one at a time."""
        with self.lock:
            begin = long and not self.working
            self.working = self.working or begin
            return begin


@dataclass
class Place:
    """One running page. presses: form number -> where its first press led."""

    home: Home
    today: Callable[[], date]
    refit: Refit
    lock: threading.Lock = field(default_factory=threading.Lock)
    presses: dict[str, str] = field(default_factory=dict)
    judged: JudgedUnits = field(default_factory=JudgedUnits)
    _kept: dict[str, tuple[object, Any]] = field(default_factory=dict)
    _made: dict[object, Any] = field(default_factory=dict)
    _scratch: Path | None = None
    _had_record: bool = False

    def still_there(self) -> None:
        """Refused where a record seen before is gone: going on would begin another in its place."""
        if record_file(self.home).exists():
            self._had_record = True
        elif self._had_record:
            what = f"your record is no longer in {self.home.path}"
            fix = "bring the folder or its disk back, then press again; nothing was changed here"
            raise refused(what, fix)

    def _once(self, name: str, stamp: object, make: Callable[[], T]) -> T:
        """What was made last, as long as what it hangs on has the same stamp."""
        known = self._kept.get(name)
        if known is None or known[0] != stamp:
            known = self._kept[name] = (stamp, make())
        return known[1]

    def settings(self) -> Settings:
        """The settings as the file stands now. Raises Refused naming its mistakes."""
        file = self.home.settings_file
        return self._once("settings", _stamp(file), lambda: load_settings(self.home))

    def saved(self) -> Saved:
        """What was learned last. Raises Refused where there is nothing, or it is damaged."""
        rate(self.settings())  # without it no amount is told, nor the numbers of another currency
        path = numbers.newest(self.home)
        if path is None:
            if self.refit.state().state in ("waiting", "learning"):
                fix = "press again in a few seconds"
                raise refused("I am still learning, for the first time", fix)
            return numbers.load(self.home)
        return self._once("saved", (path, _stamp(path)), lambda: numbers.load(self.home))

    def now(self) -> tuple[Saved, Settings, date]:
        """What an answer rests on: what was learned, the settings, and the day."""
        return self.saved(), self.settings(), self.today()

    def standing(self) -> Standing:
        """Which rows of the record stand, found again after every change."""
        stamp = _stamp(record_file(self.home))
        return self._once("standing", stamp, lambda: standing(self.home))

    def open_units(self) -> list[dict[str, Any]]:
        """Units that have not ended: from what was learned if that is this record, else from it."""
        return self._once("open", self.stamps(), self._open_now)

    def _open_now(self) -> list[dict[str, Any]]:
        begun = record_file(self.home).exists()
        # Where nothing is learned yet, or it is damaged, the answer itself will say what is wrong
        with contextlib.suppress(Refused):
            now = self.saved()
            # A member's home comes with open units and no record
            if now.record == (content_hash(self.home) if begun else ""):
                return now.open_units()
        still = {"", *OUTCOMES} - {*ENDED, "kept", "trip", "expense"}
        rows = self.standing().having(still) if begun else ()
        return fit_source.open_rows(rows_at(self.home, rows))

    def stamps(self) -> tuple[object, ...]:
        """What every number on a page hangs on: record, settings and numbers, as files stand."""
        files = (record_file, lambda home: home.settings_file, decisions.path_of)
        return (*(_stamp(file(self.home)) for file in files), numbers.newest(self.home))

    def cached(self, name: object, make: Callable[[], T]) -> T:
        """A number made once for a state of the record and a day; the oldest goes."""
        key = (name, self.today(), *self.stamps())
        with self.lock:
            if key in self._made:
                return self._made[key]
        made = make()
        with self.lock:
            keep_last(self._made, key, made, MOST_MADE)
        return made

    def books(self) -> Books:
        """What each unit brought, cost and took, as the quarter is added up from."""
        args = (self.home, self.settings(), self.today())
        return self.cached("books", lambda: reporting.books_of(*args))

    def scratch(self) -> Path:
        """A folder of this run for files that wait: dropped sheets, reports that were made."""
        with self.lock:
            if self._scratch is None:
                self._scratch = Path(tempfile.mkdtemp(prefix="pricing-page-"))
                weakref.finalize(self, shutil.rmtree, self._scratch, True)  # at the latest at exit
            return self._scratch

    def first_press(self, form_number: str) -> str | None:
        """None for a first press; else where that one led ("" while it is still at work)."""
        with self.lock:
            before = self.presses.get(form_number)
            if before is None:
                keep_last(self.presses, form_number, "", MOST_PRESSES)
            return before

    def pressed(self, form_number: str, led_to: str | None) -> None:
        """Remember where a press led; None takes the press back, because it was refused."""
        with self.lock:
            if led_to is None:
                self.presses.pop(form_number, None)
            else:
                self.presses[form_number] = led_to


def keep_last(some: dict[Any, T], key: object, value: T, most: int) -> list[T]:
    """Put a value among those kept; returns those that went for it, the oldest first."""
    some[key] = value
    return [some.pop(next(iter(some))) for _ in range(len(some) - most)]


def here() -> Place:
    """The page that answers this request."""
    demo: Place | None = current_app.config["DEMO"]
    place: Place = current_app.config["PLACE"]
    return demo if demo is not None and DEMO_COOKIE in request.cookies else place


def form_number() -> str:
    """A number of its own for each form that is shown."""
    return secrets.token_urlsafe(9)


def _stamp(path: Path) -> object:
    try:
        seen = path.stat()
    except OSError:
        return None
    return (seen.st_mtime_ns, seen.st_size, seen.st_ino)
