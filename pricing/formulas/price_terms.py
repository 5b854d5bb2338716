"""Why the price is what it is: every term in words and money.

The logs of the terms are added in one fixed order and turned to money as they are added, each
partial sum rounded to the cent, so that the terms add up to the answer exactly and do not depend on
the order of columns or of rows.
"""

import math
from collections.abc import Callable, Sequence
from typing import Any

FIRST = ["age", "condition", "maker"]
LAST = ["fine pattern", "sold_where", "season", "prices lately"]
OF_THE_DAY = ("season", "prices lately")
PLAIN = {
    "fine pattern": "this combination", "season": "time of year",
    "usual price": "your usual price", "owner": "your prices beside the group's",
}  # fmt: skip


def column_terms(margins: Sequence[Any], blocks: Sequence[Any]) -> list[str]:
    """The term of each column: that of its block; a feature with all its products is one."""
    names: list[str] = []
    for block in blocks:
        sides = [block.left, block.right]
        kinds = [margins[side].kind if side < len(margins) else "" for side in sides]
        usual = "type" if block.term in ("level", "type") else block.term
        for pair in block.pairs:
            if "words" in kinds:
                k = kinds.index("words")
                listed = margins[sides[k]]
                names.append(f"{listed.column}: {listed.labels[pair[k]]}")
            else:
                names.append(usual)
    return names


def log_terms(
    names: Sequence[str],
    here: Sequence[float],
    there: Sequence[float],
    slopes: Sequence[float],
    start: float,
    about: Sequence[Any],
) -> list[tuple[str, float]]:
    """Terms of one unit's typical price in logs: the usual price of its type first, then what makes
    the unit differ, zero terms left out.

    names: term of each column; here, there: what each column of the unit and of the usual unit of
    its type moves; slopes: what their ages move of the start; start: of the usual unit; about: the
    type, the unit's word in a column, its age (None where blank) and the usual one.
    """
    values = {"age": slopes[0] - slopes[1]}
    base = start + slopes[1]
    for i in range(len(names)):
        name = names[i]
        if name == "type":
            base = base + here[i]
        elif name in OF_THE_DAY:
            values[name] = values.get(name, 0.0) + here[i]
        else:
            base = base + there[i]
            name = "age" if name == "age not known" else name
            values[name] = values.get(name, 0.0) + here[i] - there[i]
    kind = about[0]
    differ = sorted([name for name in values if abs(values[name]) > 1e-9], key=_place)
    return [
        (f"usual {kind}" if kind != "" else "usual price", base),
        *[(_said(name, about), values[name]) for name in differ],
    ]


def in_money(logs: Sequence[tuple[str, float]]) -> list[tuple[str, float]]:
    """The same in money, to the cent; what moves no cent is left out.

    >>> in_money([("usual kettle", math.log(100)), ("age", math.log(1.1)), ("maker", 0.0)])
    [('usual kettle', 100.0), ('age', 10.0)]
    """
    out = []
    total = 0.0
    before = 0.0
    for name, value in logs:
        total = total + value
        now = round(math.exp(total), 2)
        if now != before:
            out.append((name, round(now - before, 2)))
        before = now
    return out


def _place(name: str) -> tuple[int, str]:
    head = name.split(":")[0]
    if head in FIRST:
        return FIRST.index(head), name
    return (100 + LAST.index(head) if head in LAST else 50), name


def _said(name: str, about: Sequence[Any]) -> str:
    """The term in the person's words."""
    if name == "age":
        return _age_said(about[2], about[3])
    if name.startswith("features: "):
        return name[len("features: ") :]
    if name in PLAIN:
        return PLAIN[name]
    word_in: Callable[[str], str] = about[1]
    word = word_in(name)
    if name == "sold_where":
        return f"sold by {word}" if word != "" else "where it sells"
    return f"{name} {word}" if word != "" and not name.startswith("repair") else name


def _age_said(age: float | None, usual: float) -> str:
    if age is None:
        return "age not known"
    years = abs(age - usual)
    if years < 0.5:
        return "age"
    count = "a year" if years < 1.5 else f"{years:.0f} years"
    return f"{count} {'older' if age > usual else 'younger'} than usual"


def looked_at(
    sales: Sequence[Any], kind: str, family_of: Callable[[str], str], most: int
) -> list[int]:
    """Places of the past sales weighed for a type: all, or own, then its family's, newest first."""
    places = list(range(len(sales)))
    if len(sales) <= most:
        return places
    family = family_of(kind)
    types = [sale.get("type", "") for sale in sales]
    near = [0 if one == kind else 1 if family_of(one) == family else 2 for one in types]
    return sorted(places, key=lambda i: [near[i], -i])[:most]


def sale_said(sale: Any) -> str:
    """What a past sale was, in a few words: "wall oven, 6y, good, steam"."""
    age = sale.get("age")
    years = "" if age is None else f"{age:.0f}y"
    told = [sale.get("type"), years, sale.get("condition"), sale.get("features")]
    return ", ".join([part for part in told if part])
