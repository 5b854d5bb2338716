"""Which row of the starting table speaks of a fault, and which faults a type can have."""

from typing import Any

NO_FAULT = ("works; owner upgraded", "nothing said", "dents or scratches only")
UNTOLD = 'not known / "doesn\'t work"'
FAMILY_WORDS = {
    "washer/dryer": ["washer", "dryer"], "pair": ["washer", "dryer"],
    "stacked": ["washer", "dryer"], "dishwasher": ["dishwasher"], "washer": ["washer"],
    "dryer": ["dryer"], "microwave": ["microwave"], "fridge": ["fridge"], "freezer": ["fridge"],
    "range": ["range"], "oven": ["range"], "cooktop": ["range"],
}  # fmt: skip
FAMILY_WORDS_OF = {
    "cold": "fridge", "cooking": "range", "dish": "dishwasher", "microwave": "microwave"
}  # fmt: skip
QUALIFIER_SIGNS = {
    "electric": ["electric", "coil", "smooth"],
    "gas": ["gas"],
    "top-load": ["top-load", "top load"],
    "front-load": ["front-load", "front load"],
}
OTHER_QUALIFIER = {
    "electric": "gas", "gas": "electric", "top-load": "front-load", "front-load": "top-load"
}  # fmt: skip
# A fault by a word that another kind of appliance uses for it; "no heat" is a dryer's word for what
# an oven does too.
ELSEWHERE_CALLED = {
    "range": {"no heat": "oven won't heat", "won't start": "dead or error code"},
    "fridge": {"not cold": "not cooling", "leaks": "leaks water inside"},
    "dryer": {"dead": "won't start"},
    "washer": {"won't start": "dead"},
    "dishwasher": {"won't start": "dead"},
}


def families(type_name: str, family: str, of_type: list[str] | None) -> list[str]:
    """The narrow families whose faults a type can have; ["any"] for none; else by its name."""
    if of_type is not None:
        named = [name for name in of_type if name != "none"]
        return named if len(named) > 0 else ["any"]
    for word in FAMILY_WORDS:
        if word in type_name:
            return FAMILY_WORDS[word]
    return FAMILY_WORDS.get(FAMILY_WORDS_OF.get(family, ""), ["any"])


def able(own: list[Any], table: list[Any], kinds: list[str], type_name: str, family: str) -> Any:
    """The rows that can be meant: own ones, those for the type, its families', those for all."""
    wide = [*kinds, "any", "danger"]
    mine = [row for row in own if row.family in wide or row.family == family]
    near = [row for row in table if row.family in wide]
    fit = [row for row in near if len(row.types) == 0 or type_name in row.types]
    return mine + sorted(fit, key=lambda row: [min(len(row.types), 1) * -1, wide.index(row.family)])


def row_of(fault: str, type_name: str, kind: str, rows: list[Any]) -> tuple[Any, bool]:
    """The row that speaks of this fault ("dead" of a fridge is "dead or no display"), and whether
    the fault is known. kind: the first of its families; rows: of `able`. A blank fault, and one
    that no row names, is answered by the row "not known"."""
    told = fault.strip().lower()
    for wanted in [told, ELSEWHERE_CALLED.get(kind, {}).get(told, "")]:
        row = _named(wanted, type_name, rows) if wanted != "" else None
        if row is not None:
            return row, True
    unknown = [row for row in rows if row.fault == UNTOLD]
    return unknown[0], told == ""


def _named(wanted: str, type_name: str, rows: list[Any]) -> Any:
    """The row of this name, else one that has it among its names; "(electric)" that fits first."""
    bare = wanted.split(" (")[0]
    fit = [row for row in rows if qualifier_fits(row.fault, type_name)]
    for some in [fit, rows]:  # "won't spin" of a front-loader: the other's row says more than none
        exact = [row for row in some if row.fault == wanted]
        if len(exact) > 0:
            return exact[0]
        for row in some:
            own = row.fault.split(" (")[0]
            if own == bare or bare in own.split(" or ") or bare in own.split("; "):
                return row
    return None


def qualifier_fits(fault: str, type_name: str) -> bool:
    """Whether "(electric)", "(gas)", "(top-load)" agrees with the type, where it says it."""
    for word in QUALIFIER_SIGNS:
        if fault.endswith(f"({word})"):
            other = QUALIFIER_SIGNS[OTHER_QUALIFIER[word]]
            mine = QUALIFIER_SIGNS[word]
            return _one_in(mine, type_name) or not _one_in(other, type_name)
    return True


def _one_in(signs: list[str], text: str) -> bool:
    return any(sign in text for sign in signs)
