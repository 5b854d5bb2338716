"""The first pass of a fit: everything that the models and the answers need of the units before any
number is fitted, added up over blocks."""

from collections import Counter
from datetime import date

import numpy as np

from pricing.advice import spot
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.model import seen
from pricing.model.price import similar
from pricing.model.repair import repair_sums
from pricing.model.saletime import haggle_fit, listings

OWN_WORDS = (
    "type", "maker", "features", "fault", "found", "repair", "got_from", "sold_where", "owner",
)  # fmt: skip


@frozen
class Gathered:
    """n: units; n_sold: of them with a price; words: of each column, how many units say each of the
    person's own words; the rest by its module."""

    n: int
    n_sold: int
    seen: seen.Seen
    repairs: repair_sums.RepairSums
    listed: listings.KeptListings
    haggled: haggle_fit.KeptSales
    newest: similar.Newest
    turned: spot.Turned
    words: dict[str, Counter[str]]


def look_at(units: Units, settings: Settings, as_of: date) -> Gathered:
    """One block."""
    return Gathered(
        units.n,
        int((units.number("price") > 0).sum()),
        seen.look_at(units, settings, as_of),
        repair_sums.look_at(units, settings, as_of),
        listings.look_at(units, as_of),
        haggle_fit.look_at(units, as_of),
        similar.newest_of(units, as_of),
        spot.turned_over(units),
        _words(units),
    )


def added(a: Gathered, b: Gathered) -> Gathered:
    """Two blocks, `a` before `b`."""

    def words(name: str) -> Counter[str]:
        return seen.most_common(a.words[name] + b.words[name], seen.MOST_WORDS)

    return Gathered(
        a.n + b.n,
        a.n_sold + b.n_sold,
        seen.added(a.seen, b.seen),
        repair_sums.added(a.repairs, b.repairs),
        listings.added(a.listed, b.listed),
        haggle_fit.added(a.haggled, b.haggled),
        similar.newer(a.newest, b.newest),
        a.turned + b.turned,
        {name: words(name) for name in OWN_WORDS},
    )


def _words(units: Units) -> dict[str, Counter[str]]:
    found: dict[str, Counter[str]] = {}
    for name in OWN_WORDS:
        column, found[name] = units.word(name), Counter[str]()
        told = np.bincount(column.codes[column.codes >= 0], minlength=len(column.levels))
        for level, count in zip(column.levels, told.tolist(), strict=True):
            for word in level.split("; ") if count else ():
                found[name][word] += count
    return found


def own_words(words: dict[str, Counter[str]], most: int = 200) -> dict[str, list[str]]:
    """The person's own words by column, commonest first."""

    def ranked(counts: Counter[str]) -> list[str]:
        return sorted(counts, key=lambda word: (-counts[word], word))

    return {name: ranked(counts)[:most] for name, counts in words.items()}
