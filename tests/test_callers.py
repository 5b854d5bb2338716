"""Which law of the asks a record speaks for, on listings drawn from a known one."""

from __future__ import annotations

import numpy as np
import pytest

from pricing.formulas import selling
from pricing.model.saletime import callers_fit
from pricing.model.saletime.listings import Listings
from pricing.model.saletime.saletime import POWER_MOST

N, RATE = 400, np.log(np.log(2) / 9.0)


def drawn(eta: float, most: float, seed: int) -> tuple[Listings, callers_fit.Story]:
    """Listings at one ask each, half of them cut by 12 % after ten days, of units whose worth is
    known."""
    rng = np.random.default_rng(seed)
    first = rng.normal(0.10, 0.12, N)
    drops = rng.random(N) < 0.5
    ratio = np.stack([first, np.where(drops, first + np.log(0.88), first)], axis=1)
    rate = np.exp(RATE + selling.log_calls(ratio, eta, most))
    wait = rng.exponential(1 / rate)
    early = wait[:, 0] < 10
    days = np.clip(np.where(early, wait[:, 0], 10 + wait[:, 1]), 1e-3, 60)
    end = np.stack([np.minimum(days, 10), days], axis=1)
    begin = np.stack([np.zeros(N), np.minimum(days, 10)], axis=1)
    small = np.full(N, 1e-4)
    listings = Listings(
        names=["dryer"] * N,
        families=["laundry"] * N,
        listed=np.zeros(N),
        base=np.full(N, RATE),
        sold=days < 60,
        days=days,
        first=first,
        last=np.where(early, ratio[:, 0], ratio[:, 1]),
        begin=begin,
        end=end,
        ratio=ratio,
        own=small,
        spread=small,
        drops=drops & ~early,
    )
    return listings, callers_fit.Story(np.full(N, RATE), 4.0, 1.0, np.zeros(N), np.full(N, 0.01))


@pytest.mark.parametrize("seed", [1, 2])
def test_callers_who_turn_away_are_told_from_a_power_law(seed: int) -> None:
    """In 400 listings a sharp most at 12 % over the worth is all but certain, and a power law keeps
    most of the belief where it is true."""
    turned = callers_fit.weigh(*drawn(20.0, 0.12, seed))
    power = callers_fit.weigh(*drawn(4.0, POWER_MOST, seed))

    assert turned.weight.sum() > 0.95
    best = int(turned.weight.argmax())
    assert (turned.eta[best], turned.most[best]) == (20.0, 0.12)
    assert turned.level[best] == pytest.approx(0.0, abs=0.35)
    assert power.weight.sum() < 0.5


def test_before_any_ask_both_are_as_likely() -> None:
    """A record without asks says nothing of what an ask does."""
    listings, story = drawn(4.0, POWER_MOST, 1)
    silent = Listings(**{**vars(listings), "first": np.full(N, np.nan)})

    found = callers_fit.weigh(silent, story)

    assert found.weight.sum() == pytest.approx(1 - callers_fit.POWER_SHARE)
    assert not found.level.any()


def test_calls_fall_in_the_ask_and_are_those_of_a_power_law_far_above_the_most() -> None:
    x = np.linspace(-0.5, 1.5, 41)
    calls = selling.log_calls(x, 12.0, 0.1)

    assert (np.diff(calls) < 0).all()
    assert np.diff(calls)[-1] == pytest.approx(-12.0 * (x[1] - x[0]), rel=1e-3)
    assert calls[10] == pytest.approx(0.0, abs=1e-12)
