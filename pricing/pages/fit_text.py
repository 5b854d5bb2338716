"""What a fit learned, in the person's words: what a year, a grade, a feature is worth, how sure that is, and where guesses still lead."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pricing.pages.text import limit, money, wrap

if TYPE_CHECKING:
    from pricing.pipeline.fitting import Fitted
    from pricing.records.settings import Settings

FEW = 8  # sales below which the starting figures still lead


def fit_lines(fitted: Fitted, settings: Settings) -> list[str]:
    """One screen: what it learned from, what things are worth to the person's buyers, what moved, what is still a guess."""
    currency = settings.currency
    lines = wrap(f"Learned from {fitted.n_units:,} units, {fitted.n_sold:,} of them sold.")
    if fitted.n_sold == 0:
        return [*lines, *wrap("No sale yet: every answer rests on starting figures that nobody measured for your area, and says GUESS.")]
    if fitted.n_sold < FEW:
        lines += wrap(f"That is few: the starting figures still lead. Every sale you add makes it yours ({FEW} or more begin to tell).")
    types = sorted(fitted.saved.price.types.items(), key=lambda pair: (-pair[1], pair[0]))
    few = [name for name, n in types if n < 3]
    lines += ["", *wrap("Your sales: " + ", ".join(f"{name} {n}" for name, n in types[:6]) + (", …" if len(types) > 6 else "") + ".")]
    if few:
        lines += wrap(f"Still thin (one or two sales): {', '.join(few[:6])}{', …' if len(few) > 6 else ''}.")
    if fitted.worths:
        lines += ["", "WHAT YOUR BUYERS PAY FOR (4 of 5 between)"]
        for one in fitted.worths:
            low, high = sorted((one.usual * one.low, one.usual * one.high))
            unclear = "" if one.clear else "  cannot tell yet"
            lines += wrap(f"  {one.on}, {one.what}: {_signed(one.usual * one.share, currency)} ({_signed(low, currency)} to {_signed(high, currency)}){unclear}", "    ")
    times = fitted.saved.saletime
    if times.n_listings:
        lines += ["", *wrap(f"What the ask does to the days: {times.learned_from}.")]
    moved = [one for one in fitted.moved if abs(one.now - one.before) >= 5]
    if moved:
        lines += ["", "SINCE THE LAST TIME"]
        lines += [f"  {one.type}: {limit(one.before, currency)} -> {limit(one.now, currency)}" for one in moved]
    return lines


def fit_json(fitted: Fitted) -> dict[str, Any]:
    """The JSON of `fit --json`."""
    return {
        "model": str(fitted.path),
        "units": fitted.n_units,
        "sold": fitted.n_sold,
        "types": dict(fitted.saved.price.types),
        "worth": [vars(one) for one in fitted.worths],
        "moved": [vars(one) for one in fitted.moved],
        "ask_effect_from": fitted.saved.saletime.learned_from,
    }


def _signed(value: float, currency: str) -> str:
    return f"{'+' if value > 0 else ''}{money(value, currency)}"
