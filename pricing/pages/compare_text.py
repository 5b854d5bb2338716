"""`compare` on a terminal and for programs: the words are those of `wording/compare_words`."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, is_dataclass
from typing import Any

from pricing.basis.money_form import place_of_money
from pricing.pages.laid_out import MORE, narrow
from pricing.pages.text import columns, wrap
from pricing.quarter.compare import Comparison
from pricing.quarter.doubts import Doubt
from pricing.quarter.front import Compared, Front
from pricing.quarter.mix import LEAST, REACH, Mix
from pricing.quarter.stop_rules import StopRules
from pricing.wording import compare_words as words
from pricing.wording import first_page
from pricing.wording import stop_rule as rule_words

NAMES = {
    "type": "type", "family": "kind of appliance", "maker": "brand", "tier": "grade of brand",
    "fault": "what's wrong", "found": "what it was", "repair": "repair",
    "got_from": "where it came from", "sold_where": "where it sold", "paid": "price paid",
    "age": "age", "condition": "condition", "miles": "distance", "features": "features",
    "quarter": "quarter", "month": "month you got it",
}  # fmt: skip
MOST_MIX = 6
MOST_DOUBTS = 20
LEGEND = (
    'expect: the next units; where few, pulled to your average. under, over: all of "most" is on'
    " that side of your hour."
)


def compare_text(
    compared: Compared, currency: str, asked_mix: bool = False, top: Any = None, more: bool = True
) -> list[str]:
    """Lines of at most 60 columns; a mix that was asked for takes the place of the notes. top: how
    many groups (None: all). Without `more`: the first page and the headline, and no table but one
    that was asked for."""
    comparison = compared.comparison
    view = worded(comparison, currency, compared.mix)
    if not view["rows"]:
        return wrap(view["headline"])
    if not (more or asked_mix or top):
        first = first_page.before_fold(dict(front_view(compared.front, currency)))
        said = [*first_page.lines(first), view["headline"]]
        return [*(line for text in said for line in wrap(text)), MORE]
    lines = [line for text in front_lines(compared.front, currency) for line in wrap(text)]
    most = min(top or len(view["rows"]), MOST_MIX if asked_mix else len(view["rows"]))
    lines += ["", *wrap(view["headline"]), "", *wrap(view["overall"]), ""]
    lines += _table(view, comparison.by, most)
    if asked_mix:
        return [*lines, "", *_mix(view["mix"], comparison.n)]
    if view["hours"]:
        table = view["hours"]
        heads = [table["heads"][0].upper(), *table["heads"][1:]]
        lines += ["", *narrow([heads, *table["rows"]])]
    return [*lines, *(line for note in view["notes"] for line in wrap(note))]


def worded(comparison: Comparison, currency: str, mix: Mix | None = None) -> Mapping[str, Any]:
    """What pays in words."""
    return words.view(_numbers(comparison, mix), place_of_money(currency))


def front_view(front: Front, currency: str) -> Mapping[str, Any]:
    """The first page in words."""
    return first_page.view(dict(plain_json(front)), place_of_money(currency))


def front_lines(front: Front, currency: str) -> list[str]:
    """The first page as sentences."""
    return first_page.lines(dict(front_view(front, currency)))


def doubt_lines(doubts: Sequence[Doubt], currency: str, most: int = MOST_DOUBTS) -> list[str]:
    """Values in doubt as questions, each with its answers."""
    told, place = [asdict(one) for one in doubts[:most]], place_of_money(currency)
    said = [f"{first_page.question(one, place)} Say: {first_page.how(one)}" for one in told]
    lines = [line for one in said for line in wrap(f"{one[:1].upper()}{one[1:]}")]
    left = len(doubts) - most
    return [*lines, f"… and {left:,} more: pricing slip --json"] if left > 0 else lines


def rule_lines(found: StopRules, currency: str) -> list[str]:
    """The rules in force, and those proposed, numbered."""
    said = rule_words.view(dict(rules_json(found)), place_of_money(currency))
    return [line for one in said for line in wrap(one)]


def rules_json(found: StopRules) -> Mapping[str, Any]:
    """The same for programs."""
    return dict(plain_json(found))


def _table(view: Mapping[str, Any], by: tuple[str, ...], most: int) -> list[str]:
    rows = [
        [f"by {by_words(by)}".upper(), "expect", "most", "so far", "units", view["scale"]["yours"]]
    ]
    rows += [
        [row["name"], row["expect"], row["most"], row["so_far"], str(row["n"]), row["mark"]]
        for row in view["rows"][:most]
    ]
    left = len(view["rows"]) - most
    more = [f"{left} more: leave --top out"] if left > 0 else []
    return [*narrow(rows, right=(1, 3, 4)), *more, *wrap(LEGEND)]


def _mix(mix: Mapping[str, Any] | None, n: int) -> list[str]:
    if mix is None:
        return wrap(f"A BEST MIX needs {LEAST} units done with days and hours; you have {n}.")
    rows = [mix["heads"], *mix["rows"][:MOST_MIX]]
    return [*wrap(mix["headline"]), *columns(rows, right=(1, 2)), *wrap(mix["note"])]


def by_words(by: tuple[str, ...]) -> str:
    """`type and condition`."""
    return " and ".join(NAMES.get(name, name.replace("_", " ")) for name in by)


def _numbers(comparison: Comparison, mix: Mix | None) -> dict[str, Any]:
    table = plain_json(comparison)
    return table if mix is None else table | {"mix": plain_json(mix) | {"reach": REACH}}


def compare_json(compared: Compared, currency: str, as_of: str) -> Mapping[str, Any]:
    """The same for programs: every group and figure, money to the cent, None where not known."""
    return {
        "as_of": as_of,
        "currency": currency,
        "verdict": worded(compared.comparison, currency)["headline"],
        "front": plain_json(compared.front),
        **_numbers(compared.comparison, compared.mix),
    }


def plain_json(value: Any, places: int = 4) -> Any:
    """Plain tables and lists in depth, floats to so many places, None for what is not known."""
    if is_dataclass(value) and not isinstance(value, type):
        value = asdict(value)
    if isinstance(value, dict):
        told = ((name.replace("not split", "not_split"), item) for name, item in value.items())
        return {name: plain_json(item, places) for name, item in told}
    if isinstance(value, (list, tuple)):
        return [plain_json(item, places) for item in value]
    return (round(value, places) if value == value else None) if isinstance(value, float) else value
