"""The story of a fit in one person's own home (`pipeline/member_home`): own sales on top of the
numbers that came from the group.

Prices move on from the group's (`model/price/onward`) with what the person sold after the day of
the group's fit; earlier sales are in it already. Fix chances, parts, hours and days stay the
group's. Without the folder `data/group` a fit rests on own rows alone.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date
from typing import Any

import numpy as np

from pricing.basis.home import Home
from pricing.basis.settings import Settings, settings_digest
from pricing.model.price import onward, similar
from pricing.model.price.similar import KEPT, KEPT_A_TYPE, Newest
from pricing.model.saved import Saved
from pricing.pipeline import gathering, member_home, proving
from pricing.pipeline.fit_source import GroupNumbers, Numbers, OnTop, Source
from pricing.pipeline.gathering import Gathered


def numbers(
    home: Home, group: GroupNumbers, settings: Settings, source: Source, first: Gathered
) -> Numbers:
    """The numbers of a member's home: the group's, and prices that moved on."""
    came = member_home.came_with(home)
    fresh = first.seen.sample_days > group.day.toordinal()
    sold, days = first.seen.sample.take(fresh), first.seen.sample_days[fresh]
    model = proving.as_wide_as_reached(home, onward.moved_on(came.price, sold, days))
    return Numbers(
        model,
        came.repair,
        came.saletime,
        _newest([*came.similar, *similar.recent_rows(_after(first.newest, group.day), model)]),
        _words(came, gathering.own_words(first.words)),
        came.spot_a_day,
        [*_still_open(came, source), *source.open_units],
        sold,
        OnTop(group, sold.n, len(fresh) - sold.n, came.settings != settings_digest(settings)),
    )


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
