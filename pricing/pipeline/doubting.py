"""The story of a value that looks like a slip: which there are, and the person's answer."""

from datetime import date

from pricing.basis import decisions
from pricing.basis.home import Home
from pricing.basis.problems import refused
from pricing.basis.settings import Settings
from pricing.pipeline import by_hand
from pricing.pipeline.reporting import books_of
from pricing.quarter.doubts import Doubt

RIGHT = "right"


def asked(home: Home, settings: Settings, as_of: date) -> tuple[Doubt, ...]:
    """The values of ended units that are in doubt."""
    return books_of(home, settings, as_of).doubts


def answer(home: Home, settings: Settings, as_of: date, unit: str, said: str) -> list[Doubt]:
    """Take the person's answer for a unit: RIGHT keeps all its values in doubt, a figure takes the
    place of the only one. Returns what was answered. Raises Refused where nothing is in doubt, or a
    figure could be for two values or cannot be read."""
    open_ones = [one for one in asked(home, settings, as_of) if one.unit == unit]
    if not open_ones:
        raise refused(f"nothing of unit {unit} looks like a slip", "see which do: pricing slip")
    if said.strip().lower() == RIGHT:
        right = [{"unit": unit, "column": one.column, "value": one.value} for one in open_ones]
        decisions.keep(home, RIGHT, decisions.load(home, RIGHT) + right)
        return open_ones
    # One figure cannot say which of two cells it is for.
    if len(open_ones) > 1:
        columns = ", ".join(one.column for one in open_ones)
        what = f"two values of unit {unit} look like slips: {columns}"
        raise refused(what, "correct them in your sheet or on the page, or say that they are right")
    row = by_hand.current(home, unit)
    if row is not None:
        cells = {open_ones[0].column: said}
        by_hand.change_unit(home, unit, cells, int(row["batch"]), settings, as_of, "slip mended")
    return open_ones
