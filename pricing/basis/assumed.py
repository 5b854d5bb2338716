"""Starting assumptions by type and by fault, from the tables of `pricing.words`, and the few trade
figures that hold for all.

Status of every figure: **own judgement or common practice** (US local market, US dollars, a handy
person, about three years at it), unless the table or a line here names a source. They lead while
own units are few, show as GUESS, lose weight as own units grow, and are replaced line by line in
`pricing.toml` under `[assumed.types."…"]` and `[assumed.faults."…"]`.
"""

from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from pricing.basis.frozen import frozen
from pricing.formulas import faults
from pricing.formulas.by_age import MIDDLE_AGE as MIDDLE_AGE
from pricing.formulas.faults import UNTOLD
from pricing.words.tables import rows


@frozen
class AssumedType:
    """A working, cleaned, mid-grade unit of 5-8 years of this type.

    price with four in five between low and high (money); days to sell at that price; weight_lb
    (pounds); scrap (money); slope_5y: change of ln price per five years of age; clean_sell_h: hours
    to clean and sell; fault_family: families of faults; season: factors by month, () for none;
    as_is_share, parted_share: of the price, broken and in parts; decision: what stands above the
    arithmetic.
    """

    type: str
    family: str
    price: float
    low: float
    high: float
    days: float
    weight_lb: float
    scrap: float
    slope_5y: float
    clean_sell_h: float
    fault_family: tuple[str, ...] = ()
    season: tuple[float, ...] = ()
    as_is_share: float = 0.12
    parted_share: float = 0.12
    helper_usd: float = 0.0
    carry_people: float = 2.0
    scrap_net_unasked: float = 0.0
    holds: str = ""
    hookup: str = ""
    decision: str = ""


@frozen
class AssumedFault:
    """A fault as told, for one narrow family ("any" and "danger" hold for all).

    found: what it usually turns out to be; fix: chance to fix, 0-1; parts: expected money when
    fixed, with low and high (0 is common); bench_h: hours on the bench, fixed or not; types: () for
    all of the family; fix_if_tried: the chance if one goes on where most stop; findings: {what is
    found: share}; danger_tag, decision: see the cautions.
    """

    family: str
    fault: str
    found: str
    fix: float
    parts: float
    parts_low: float
    parts_high: float
    bench_h: float
    types: tuple[str, ...] = ()
    fix_if_tried: float | None = None
    bench_h_fixed: float | None = None
    bench_h_failed: float | None = None
    parts_if_failed: float | None = None
    danger_tag: str = ""
    decision: str = ""
    findings: Mapping[str, float] = MappingProxyType({})


def _type_of(row: dict[str, Any]) -> AssumedType:
    named = {name: row[name] for name in AssumedType.__annotations__}
    listed = {name: tuple(row[name]) for name in ("fault_family", "season")}
    return AssumedType(**named | listed)


def _plain_of(row: dict[str, Any]) -> AssumedType:
    """A word that leaves the kind open ("washer"): the mixture of its kinds."""
    kinds = [(_TYPE_ROWS[name], share) for name, share in row["may_be"].items()]
    families = dict.fromkeys(name for kind, _ in kinds for name in kind.fault_family)
    mixed = {
        name: sum(share * getattr(kind, name) for kind, share in kinds)
        for name in ("scrap", "slope_5y", "as_is_share", "parted_share", "helper_usd")
    }
    same = {
        name: row[name] for name in ("price", "low", "high", "days", "weight_lb", "clean_sell_h")
    }
    told = {"fault_family": tuple(families), "holds": row["ask"], **mixed, **same}
    return AssumedType(type=row["word"], family=kinds[0][0].family, **told)


def _fault_of(row: dict[str, Any]) -> AssumedFault:
    likely = list(row["findings"].items())[:4]  # the table names the likeliest first
    # 400 of them are made each time the program starts: straight, not by their __init__
    one = object.__new__(AssumedFault)
    one.__dict__.update(
        {name: row[name] for name in _SAME_FAULT},
        fault=row["fault_as_told"],
        found="; ".join([f"{name} {100 * share:.0f} %" for name, share in likely]) or "anything",
        types=() if row["types"] == ["all"] else tuple(row["types"]),
    )
    return one


_MADE = ("fault", "found", "types")
_SAME_FAULT = [name for name in AssumedFault.__annotations__ if name not in _MADE]


TYPES: tuple[AssumedType, ...] = tuple(map(_type_of, rows("types")))
_TYPE_ROWS = {row.type: row for row in TYPES}
PLAIN_TYPES: tuple[AssumedType, ...] = tuple(map(_plain_of, rows("plain_words")))
_TYPE_ROWS |= {row.type: row for row in PLAIN_TYPES}
FAULTS: tuple[AssumedFault, ...] = tuple(map(_fault_of, rows("faults")))
# Faults that every kind of appliance can have; some families have figures of their own for them.
ANY_FAULTS = frozenset(row.fault for row in FAULTS if row.family == "any")
# Fields that hold lists: a line of pricing.toml sets numbers and words.
_NOT_SET = {"fault_family", "season", "types", "findings"}
UNKNOWN_FAULT = next(row for row in FAULTS if row.family == "any" and row.fault == UNTOLD)

# ln price steps between grades, from "good": common practice.
CONDITION_EFFECT = {"rough": -0.35, "fair": -0.15, "good": 0.0, "like new": 0.10}
# ln price of a feature and of a finish (`data/words/features.csv`, with the source of each), every
# other feature .05 (own judgement). A feature of the table that is a finish stands among both: it
# is written in either column.
FEATURE_EFFECT = {str(row["feature"]): float(row["ln_price"]) for row in rows("features")}
_FINISHES = ("stainless", "black stainless", "almond or bisque")
FINISH_EFFECT = {name: FEATURE_EFFECT[name] for name in _FINISHES}
OTHER_FEATURE_EFFECT = 0.05
TIER_EFFECT = {"plain": -0.15, "middle": 0.0, "upper": 0.20}  # ln price; own judgement
# One in three pays the full ask, the others 12 % less on average: mean .92. Common practice.
HAGGLE_FULL_SHARE = 1 / 3
HAGGLE_OFF_WHEN_ANY = 0.12
USUAL_DROP = (0.083, 14.0)  # ln of a drop, days between: 8 % a fortnight. Common practice.
ELASTICITY_MEAN = 4.0  # of the sale rate with the ask. Own judgement.
DUD_SD = 0.5  # log points: how unlike one another duds are in what they bring. Own judgement.
BENCH_DAYS = 7.0  # from got to listed. Own judgement.
# of the most to pay, to start at, until the person's own prices paid say better. Own judgement.
USUAL_PAID_SHARE = 0.40


def plain_kinds(word: str) -> dict[str, float]:
    """The kinds that a plain word leaves open, with their usual shares; {} where it leaves none.

    >>> plain_kinds("freezer"), plain_kinds("chest freezer")
    ({'upright freezer': 0.5, 'chest freezer': 0.5}, {})
    """
    row = next((row for row in rows("plain_words") if row["word"] == word), None)
    return dict(row["may_be"]) if row else {}


@lru_cache(maxsize=64)
def told_shares(type_name: str) -> dict[str, float]:
    """How often each fault is told of broken ones of a type, of a plain word by its kinds.

    >>> round(sum(told_shares("dryer").values()), 4), told_shares("kiln")
    (1.0, {})
    """
    table = {row["type"]: row["shares"] for row in rows("told_shares")}
    kinds = plain_kinds(type_name) or {type_name: 1.0}
    kinds = {kind: share for kind, share in kinds.items() if kind in table}
    whole = sum(kinds.values())
    out: dict[str, float] = {}
    for kind, share in kinds.items():
        total = sum(table[kind].values())
        for name, told in table[kind].items():
            fault = name.split(": ", 1)[1]
            out[fault] = out.get(fault, 0.0) + share / whole * told / total
    return {fault: round(share, 6) for fault, share in out.items()}


# A type nobody has named: own judgement
GENERIC_TYPE = AssumedType("", "other", 200, 100, 400, 10, 120, 5, -0.40, 1.2)


def fault_families(type_name: str, family: str) -> list[str]:
    """The narrow families whose faults a type can have; ["any"] where there are none.

    >>> fault_families("electric dryer", "laundry"), fault_families("wall oven", "cooking")
    (['dryer'], ['range'])
    """
    row = _TYPE_ROWS.get(type_name)
    return faults.families(type_name, family, None if row is None else list(row.fault_family))


@cache
def trade_words() -> dict[str, Any]:
    """What the reader of plain words asks of the tables: kinds of plain words, dangerous faults."""
    danger = (row["fault_as_told"] for row in rows("faults") if row["family"] == "danger")
    plain = {row["word"]: list(row["may_be"]) for row in rows("plain_words")}
    return {"plain": plain, "dangers": list(dict.fromkeys(danger))}


def fault_row(
    fault: str, type_name: str, family: str, table: tuple[AssumedFault, ...]
) -> tuple[AssumedFault, bool]:
    """The row of the table that speaks of this fault on this type, and whether it is known at all.

    "no heat" of a gas dryer is the row "no heat (gas)", "dead" of a fridge is "dead or no display".
    A fault that no row names, and a blank one, is answered by the row "not known".

    >>> (fault_row("no heat", "gas dryer", "laundry", FAULTS)[0].fault,
    ...  fault_row("dead", "wall oven", "cooking", FAULTS)[1])
    ('no heat (gas)', True)
    """
    rows = _rows_for(type_name, family) if table is FAULTS else _able(type_name, family, table)
    return faults.row_of(fault, type_name, fault_families(type_name, family)[0], rows)


@lru_cache(maxsize=512)
def _rows_for(type_name: str, family: str) -> list[AssumedFault]:
    return _able(type_name, family, FAULTS)


def _able(type_name: str, family: str, table: tuple[AssumedFault, ...]) -> list[AssumedFault]:
    n_own = len(table) - len(FAULTS)
    kinds = fault_families(type_name, family)
    return faults.able(list(table[:n_own]), list(table[n_own:]), kinds, type_name, family)


TYPE_FIELDS = {name for name in AssumedType.__annotations__ if name not in _NOT_SET} - {"type"}
FAULT_FIELDS = {name for name in AssumedFault.__annotations__ if name not in _NOT_SET} - {"fault"}
