"""The ask against the days and the money: what comes of starting lower or higher than advised."""

from datetime import date

import numpy as np

from pricing.advice import ask, listing
from pricing.advice.history import past_of
from pricing.advice.listing import Past
from pricing.basis.frozen import frozen
from pricing.basis.problems import refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model.saved import Saved

FACTORS = np.linspace(0.7, 1.4, 29)  # of the asks of the plan


@frozen
class AskCurve:
    """First asks, (m,) money, rising. days: by which half are sold; left: after fees and holding;
    best: place of the advised ask; holding: money a day; clear_days: until clearing out."""

    asks: np.ndarray
    days: np.ndarray
    left: np.ndarray
    best: int
    holding: float
    clear_days: float


def curve(question: Question, numbers: Saved, settings: Settings, as_of: date) -> AskCurve:
    """The curve of one unit. Refused where its time on the market is up: nothing is left to ask."""
    view = ask.look([question], numbers, settings, as_of)
    at, _ = ask.terms_of(question, view, 0, numbers, settings)
    demand, asked = view.demands[0], question.known.get("asked_now")
    past = past_of(question.unit, as_of, asked, demand.estimate) or Past()
    found = listing.best(demand, at, past)
    if not len(found.asks):
        raise refused(
            "its time on the market is up: there is no ask left to draw",
            "clear it out, or raise clear_after_days in pricing.toml",
        )
    ways = [listing.at_asks(demand, at, found.asks * one, past) for one in FACTORS.tolist()]
    return AskCurve(
        asks=found.asks[0] * FACTORS,
        days=np.array([listing.day_sold(way) for way in ways]),
        left=np.array([float(way.value[0]) for way in ways]),
        best=int(np.argmin(np.abs(FACTORS - 1))),
        holding=at.holding,
        clear_days=float(found.sale.days.sum()),
    )
