"""Rules that the person took over: what not to collect, what not to repair. Plain values, kept
among the decisions; read by answers without the record."""

from collections.abc import Mapping, Sequence
from typing import Any

from pricing.basis import decisions
from pricing.basis.frozen import frozen
from pricing.basis.home import Home


@frozen
class StopRule:
    """Not to take what meets all that is said. type, found: "" for any; under: what it will bring
    fixed, money; over_miles, over_age: from there on; since: ordinal day it was taken over."""

    type: str = ""
    found: str = ""
    under: float | None = None
    over_miles: float | None = None
    over_age: float | None = None
    since: int = 0

    @property
    def words(self) -> str:
        """`no board for a unit that will bring under $230`, without the currency."""
        what = self.type or "unit"
        text = f"no {self.found} repair" if self.found else f"no {what}"
        if self.found and self.type:
            text += f" on a {self.type}"
        if self.under is not None:
            text += f" {'of a unit ' if self.found else ''}that will bring under {self.under:g}"
        if self.over_miles is not None:
            text += f" from {self.over_miles:g} miles away on"
        if self.over_age is not None:
            text += f" of {self.over_age:g} years and more"
        return text

    def met(self, unit: Mapping[str, Any], price: float | None) -> bool:
        """Whether a unit is what the rule says not to take; what is not known meets nothing."""
        said = [
            (self.type, unit.get("type") == self.type),
            (self.found, _same_finding(self.found, unit.get("found"))),
            (self.under is not None, price is not None and price < (self.under or 0.0)),
            (self.over_miles is not None, _from(unit.get("miles"), self.over_miles)),
            (self.over_age is not None, _from(unit.get("age"), self.over_age)),
        ]
        return any(asked for asked, _ in said) and all(holds for asked, holds in said if asked)


def _same_finding(rule: str, found: Any) -> bool:
    """A board is a control board."""
    return bool(found) and set(rule.split()) <= set(str(found).split())


def _from(value: Any, edge: float | None) -> bool:
    return value is not None and edge is not None and float(value) >= edge


Rules = Sequence[StopRule]


def load(home: Home) -> list[StopRule]:
    """The rules in force, oldest first."""
    return [StopRule(**one) for one in decisions.load(home, "rules")]  # type: ignore[arg-type]


def keep(home: Home, rules: Rules) -> None:
    """Put these rules in the place of those that were."""
    decisions.keep(home, "rules", [vars(rule) for rule in rules])


def said_of(rules: Rules, unit: Mapping[str, Any], price: float | None) -> tuple[str, ...]:
    """What the rules say of a unit."""
    return tuple(f"Your rule: {rule.words}." for rule in rules if rule.met(unit, price))
