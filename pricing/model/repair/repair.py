"""What a fault turns out to need, whether it gets fixed, and what parts and hours go into it: the
answering half. numpy only.

For unit i with fault f as told, type t, age a and the repair r that it really needs:

    which r        shares of the person's own units, pooled: all types -> kind of appliance -> this
        type (Dirichlet-multinomial),
                   with room for a repair never seen under this fault ("something else")
    fixed          logit q = o + b0 + b_family + b_type + b_fault + b_fault,type + b_repair + b_age
        (a - 6.5),   b ~ N(0, sd^2 per block)
    parts, fixed   a share of zeros by repair; the others ln parts = o + b0 + b_family + … + e,   e
        ~ N(0, sigma^2)
    bench hours    ln hours = o + b0 + … + b_failed [not fixed] + e
    clean and sell ln hours = o + b0 + b_family + b_type + e

o is what the starting table says (`basis/assumed`): with no own unit every mean is the table's
figure, and it fades as units come in. A repair in several steps ("belt; pump") is the mean of its
steps in b, and adds ln(number of steps) to parts, half of it to hours.
"""

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_types, generic_type, rate
from pricing.basis.settings import Settings
from pricing.formulas import bench_sums, exits, repairs_needed
from pricing.model import numbers
from pricing.model.repair import pooled, skill
from pricing.model.repair.skill import NO_PEOPLE, Skill


@frozen
class RepairModel:
    """Fitted numbers of the repairs. needs: (fault, type, repair) -> units; found_needs: (found,
    repair) -> units; fixed_of: (fault, type) -> (units ended, of them fixed); turned_out: what was
    found, or the step needed -> the same; zero_parts: repair -> (units fixed, of them with no part
    bought); zero_share: of all; waste: (failed units, of them with a part wasted); failed_money:
    type -> (failed units, sum of what they brought); failed_ratio: that by the assumed scrap,
    pooled; failed_hours: hours to be rid of one; comebacks: (sold, of them come back); as_is,
    parted: (units, sum of shares of the working price); bench_days: (units, sum of days from got to
    listed); paid: type ("" is all) -> units and what was paid at nine levels, .1 to .9; miles: the
    usual way out; heard: what is told of units on offer, per column: word -> units; skill: how the
    people of the record differ."""

    fix: pooled.Effects
    parts: pooled.Effects
    hours: pooled.Effects
    sell: pooled.Effects
    fix_shift: float = 0.0
    n_ended: int = 0
    n_failed: int = 0
    needs: Mapping[tuple[str, str, str], float] = field(default_factory=dict)
    found_needs: Mapping[tuple[str, str], float] = field(default_factory=dict)
    fixed_of: Mapping[tuple[str, str], tuple[float, float]] = field(default_factory=dict)
    turned_out: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    zero_parts: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    zero_share: tuple[float, float] = (0.0, 0.0)
    waste: tuple[float, float] = (0.0, 0.0)
    failed_money: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    failed_ratio: float = 1.0
    failed_hours: tuple[float, float] = (0.0, 0.0)
    comebacks: tuple[float, float] = (0.0, 0.0)
    as_is: tuple[float, float] = (0.0, 0.0)
    parted: tuple[float, float] = (0.0, 0.0)
    bench_days: tuple[float, float] = (0.0, 0.0)
    paid: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    miles: tuple[float, float] = (0.0, 0.0)
    heard: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    skill: Skill = NO_PEOPLE

    @property
    def fix_is_known(self) -> bool:
        """A record with no failed unit hides the duds: the chance then stays a guess."""
        return self.n_failed > 0


def if_not_fixed(model: RepairModel, type_name: str, settings: Settings) -> float:
    """Money that a unit brings which was not fixed: own failed units, over the table's scrap."""
    failed = model.failed_money.get(type_name, (0.0, 0.0))
    return exits.if_not_fixed(failed, scrap_money(type_name, settings), model.failed_ratio)


def scrap_money(type_name: str, settings: Settings) -> float:
    """Scrap by weight: the table's money, moved with the person's own price of scrap."""
    row = assumed_types(settings).get(type_name, generic_type(settings))
    price = settings.scrap_price_per_weight / rate(settings)
    return exits.scrap_money(row.scrap, price, settings.weight_unit == "lb")


def comeback_share(model: RepairModel, type_name: str, family: str, settings: Settings) -> float:
    """Share of sold units that come back: as set, else own ones over the starting figure."""
    if settings.comebacks_of_100 is not None:
        return settings.comebacks_of_100 / 100
    return exits.comeback_share(type_name, family, model.comebacks)


def usual_paid(model: RepairModel, type_name: str) -> float | None:
    """What the person usually pays for such a unit, None where too few say it."""
    return exits.usual_paid(model.paid.get(type_name), model.paid.get(""))


def k_of_n(model: RepairModel, fault: str, type_name: str) -> tuple[int, int, int]:
    """Own ended units of a fault on a type, as `repairs_needed.k_of_n`."""
    return repairs_needed.k_of_n(model.fixed_of.items(), fault, type_name)


def as_numbers(model: RepairModel) -> dict[str, Any]:
    """The model as plain numbers for the saved file; `from_numbers` reads them back."""
    data: dict[str, Any] = {name: pooled.effects_out(getattr(model, name)) for name in _EFFECTS}
    plain = ("fix_shift", "n_ended", "n_failed", "failed_ratio", *_PAIRS)
    data |= {name: getattr(model, name) for name in plain}
    for name in ("needs", "found_needs"):
        data[name] = [[*key, count] for key, count in getattr(model, name).items()]
    data["fixed_of"] = [[*key, *value] for key, value in model.fixed_of.items()]
    for name in (*_BY_WORD, "paid"):
        data[name] = [[key, *value] for key, value in getattr(model, name).items()]
    heard = ((column, words.items()) for column, words in model.heard.items())
    data["heard"] = [[column, *one] for column, words in heard for one in words]
    return data | ({"skill": skill.as_numbers(model.skill)} if model.skill is not NO_PEOPLE else {})


_EFFECTS = ("fix", "parts", "hours", "sell")
_BY_WORD = ("turned_out", "zero_parts", "failed_money")
_PAIRS = (
    "zero_share", "waste", "failed_hours", "comebacks", "as_is", "parted", "bench_days", "miles",
)  # fmt: skip


def from_numbers(data: Mapping[str, Any]) -> RepairModel:
    """The model from the saved file, every size and bound checked. Raises Damaged."""
    read: dict[str, Any] = {name: pooled.effects_in(numbers.table(data, name)) for name in _EFFECTS}
    read |= {name: tuple(numbers.array(data, name, (2,)).tolist()) for name in _PAIRS}
    read |= {name: int(numbers.number(data, name, 0)) for name in ("n_ended", "n_failed")}
    read |= numbers.several(data, fix_shift=(-10, 10), failed_ratio=(-1e6, 1e6))
    for name, n_words in (("needs", 3), ("found_needs", 2)):
        read[name] = {key: values[0] for key, values in _table(data, name, n_words, 1)}
    read["fixed_of"] = {key: tuple(pair) for key, pair in _table(data, "fixed_of", 2, 2)}
    for name in (*_BY_WORD, "paid"):
        rows = _table(data, name, 1, 10 if name == "paid" else 2)
        read[name] = {key[0]: tuple(values) for key, values in rows}
    heard: dict[str, dict[str, float]] = {}
    for key, values in _table(data, "heard", 2, 1):
        heard.setdefault(key[0], {})[key[1]] = values[0]
    people = skill.from_numbers(numbers.table(data, "skill")) if "skill" in data else NO_PEOPLE
    return RepairModel(**read, heard=heard, skill=people)


def _table(
    data: Mapping[str, Any], name: str, n_words: int, n_numbers: int
) -> list[tuple[tuple[str, ...], list[float]]]:
    """Rows of words and numbers, checked."""
    rows = data.get(name)
    if not isinstance(rows, list) or len(rows) > 500_000:
        raise numbers.Damaged(f"{name} is not a table")

    def is_number(value: object) -> bool:
        if isinstance(value, bool) or not isinstance(value, int | float):
            return False
        return abs(value) < 1e12

    for row in rows:
        good = isinstance(row, list) and len(row) == n_words + n_numbers
        words = good and all(isinstance(word, str) for word in row[:n_words])
        if not words or not all(map(is_number, row[n_words:])):
            what = f"{n_words} words and {n_numbers} numbers"
            raise numbers.Damaged(f"{name} holds a row that is not {what}")
    return [(tuple(row[:n_words]), [float(value) for value in row[n_words:]]) for row in rows]


def nothing_learned(shift: float = 0.0) -> RepairModel:
    """The model before any unit: every answer is the starting table's."""
    return RepairModel(
        pooled.untaught(bench_sums.FIX_SD, 0.0),
        pooled.untaught(bench_sums.PARTS_SD, bench_sums.PARTS_SIGMA),
        pooled.untaught(bench_sums.HOURS_SD, bench_sums.HOURS_SIGMA),
        pooled.untaught(bench_sums.SELL_SD, bench_sums.SELL_SIGMA),
        fix_shift=shift,
    )
