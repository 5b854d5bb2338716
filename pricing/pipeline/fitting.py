"""The story of a fit: record -> units -> price, repair and sale-time numbers -> one saved file."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pricing.basis.files import make_folder
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.own_rows import rate
from pricing.basis.problems import Refused, refused
from pricing.basis.settings import Settings, settings_digest
from pricing.basis.units import from_rows
from pricing.pipeline.fit_source import Numbers, Source, Tell, source_of

if TYPE_CHECKING:
    from pricing.model.learned import Learned
    from pricing.model.price.slips import Slip
    from pricing.model.saved import Saved
    from pricing.pipeline.fit_source import KeptSums, OnTop
    from pricing.pipeline.gathering import Gathered


@frozen
class Moved:
    """The typical price of a type's usual unit after this fit and after the one before, money."""

    type: str
    before: float
    now: float


@frozen
class Fitted:
    """What a fit made: the file, what it was learned from, and the numbers themselves.

    learned: what a year, a grade, a feature, a maker is worth; slips: prices and ages that look
    like slips, the least likely first; phone: the phone's file where it was written anew; moved:
    how answers moved, commonest types first; on_top: what of a group's numbers it rests on; kept:
    the sums of a long record, where only these were brought up to date.
    """

    path: Path
    n_units: int
    n_sold: int
    saved: Saved
    learned: tuple[Learned, ...]
    slips: tuple[Slip, ...]
    phone: Path | None
    moved: tuple[Moved, ...]
    on_top: OnTop | None = None
    kept: KeptSums | None = None


def fit(
    home: Home,
    settings: Settings,
    as_of: date,
    cluster: str = "",
    data_set: str = "",
    tell: Tell = lambda share, what: None,
    anew: bool = False,
) -> Fitted:
    """Fit everything to the record as of a day and save it under the next number, units or none.

    cluster: "local" or a scheduler's address, for a record too long for one process. data_set: a
    folder or address that `months` wrote, instead of the home's own record. tell: called with the
    share done and what is done of a long record. anew: go through all of a long record though its
    sums are kept (`kept_sums` says when that is done unasked). Raises Refused where the record is
    damaged, the home cannot be written, or the cluster fails.
    """
    from pricing.model import learned, saved
    from pricing.model.price import slips
    from pricing.pipeline import gathering, kept_sums, member_home

    rate(settings)
    look_at = partial(gathering.look_at, settings=settings, as_of=as_of)
    with _holding(home.models):  # an older fit must not finish over a newer one
        before = _before(home)
        group, up = member_home.group_of(home), None
        if not (cluster or data_set or anew or group):
            up = kept_sums.brought_up(home, settings, as_of, before)
        whole = source_of(home, settings, as_of, cluster, data_set, tell)
        with whole if up is None else nullcontext(up) as source:
            first = source.kept.first if source.kept else source.fold(look_at, gathering.added)
            if group is None:
                numbers = _numbers(home, settings, as_of, source, first)
            else:
                numbers = member_home.numbers(home, group, settings, as_of, source, first)
        path = saved.save(home, numbers.new)
        kept_sums.keep(home, None if data_set else numbers.kept, path)
    now = saved.load_file(path)
    return Fitted(
        path,
        first.n,
        first.n_sold,
        now,
        tuple(learned.learned(now.price, float(as_of.toordinal()))),
        tuple(slips.slips(numbers.new.price, numbers.suspects, as_of)),
        _phone(home, settings, as_of),
        _moved(before, now, as_of),
        numbers.on_top,
        up.kept if up else None,
    )


def _numbers(
    home: Home, settings: Settings, as_of: date, source: Source, first: Gathered
) -> Numbers:
    """The numbers of a record of one's own, or of a group."""
    from pricing.advice import spot
    from pricing.model import saved
    from pricing.model.price import price_fit, similar
    from pricing.model.repair import repair_fit, skill_fit
    from pricing.model.saletime import saletime_fit
    from pricing.pipeline import gathering, kept_sums, proving, seeing

    told, kept, suspects = seeing.as_evidence(home, as_of), source.kept, source.everything
    if kept is not None:
        price_model, times = proving.as_wide_as_reached(home, kept.price), kept.saletime
    else:
        fitted, summed = price_fit.fit_seen(first.seen, source.fold, settings, as_of, told)
        price_model = proving.as_wide_as_reached(home, fitted)
        times = saletime_fit.fit_kept(first.listed, first.haggled, price_model, settings, as_of)
        if summed is not None:
            made = (fitted, summed, times)
            kept = kept_sums.of_fit(home, settings, as_of, source.content, first, made)
            suspects = summed.total.far
    repairs = repair_fit.fit_sums(first.repairs, settings)
    if len(first.words["owner"]) > 1:  # one more pass, for what differs between people
        repairs = skill_fit.with_people(repairs, source.fold, settings, as_of)
    new = saved.NewNumbers(
        *(as_of, source.content, settings_digest(settings), price_model, repairs, times),
        similar.recent_rows(first.newest, price_model),
        gathering.own_words(first.words),
        spot.spot_price(first.turned, price_model, times, settings, as_of),
        source.open_units,
        similar.recent_rows(similar.Newest(told.units, told.days), price_model),
    )
    return Numbers(new, first.seen.sample if suspects is None else suspects, kept=kept)


def _phone(home: Home, settings: Settings, as_of: date) -> Path | None:
    """Write the phone's file anew where there is one; where that fails the fit is not lost."""
    from pricing.pipeline import phoning

    try:
        return phoning.rewrite(home, settings, as_of)
    except Refused:
        return None


def _before(home: Home) -> Saved | None:
    """The numbers of the fit before, where they can be read: they serve only to say what moved."""
    from pricing.model import saved

    try:
        return saved.load(home)
    except Refused:
        return None


def _moved(before: Saved | None, now: Saved, as_of: date, most: int = 5) -> tuple[Moved, ...]:
    from pricing.model.price import price

    if before is None:
        return ()
    types = now.price.types
    names = [x for x in sorted(types, key=lambda name: (-types[name], name))[:most] if x]
    ages = [now.price.usual_age.get(name, 6.5) for name in names]
    asked = zip(names, ages, strict=True)
    units = from_rows([{"type": name, "age": age, "condition": "good"} for name, age in asked])
    day = float(as_of.toordinal())
    old, new = (np.exp(price.law(x.price, units, day).center).tolist() for x in (before, now))
    return tuple(Moved(*each) for each in zip(names, old, new, strict=True))


# ---- one fit at a time in a folder, by the system's own lock: a killed one leaves none behind
PATIENCE = 10.0  # seconds that a second one waits


@contextmanager
def _holding(folder: Path, patience: float = PATIENCE) -> Iterator[None]:
    """Hold a folder. Raises Refused where it stays held past `patience`, or cannot be written."""
    make_folder(folder)
    path = folder / "lock"
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
    except OSError as error:
        fix = "make the folder writable, or use another one with --home"
        what = f"this folder cannot be written: {error.strerror}"
        raise refused(what, fix, file=str(path)) from error
    try:
        until = time.monotonic() + patience
        while not _take(handle):
            if time.monotonic() > until:
                what = "this is busy: another program is learning from the record"
                fix = "wait until it is done, then run this again; nothing was changed"
                raise refused(what, fix, file=str(path))
            time.sleep(0.05)
        yield
    finally:
        os.close(handle)  # which gives the lock back too


def _take(handle: int) -> bool:
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
