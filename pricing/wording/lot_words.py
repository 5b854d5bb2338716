"""Several units in one call: which to take, and the most for them together."""

from typing import Any

from pricing.wording import decided, plain
from pricing.wording.question_words import fault_said

GO, SOME = "take all", "take some"


def lot_view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `offer --json` whose `lot` holds several units."""
    lot = answer["lot"]
    each, take = lot["each"], lot["take"]
    rows = [_row(each[i], i + 1, i + 1 in take, place) for i in range(len(each))]
    told = [f"{_what(each[i])}: {rows[i][1]}" for i in range(len(each))]
    lead = [_numbered(run) + told[run[0]] + (" each" if len(run) > 1 else "") for run in runs(told)]
    if len(lot["take"]) > 1:
        sold = lot["sells_for"]
        ends = plain.spread(sold["low"], sold["high"], place)
        lead = [*lead, f"Fixed, in all: {plain.limit(sold['median'], place)}, most likely {ends}"]
    as_read, shared = without_shared([one["as_read"] for one in each])
    all_read = [_times(len(run)) + as_read[run[0]] for run in runs(as_read)]
    theirs = lot["their_price"]
    if theirs is not None:
        shared = [*shared, f"{plain.money(theirs, place)} in all" if theirs > 0 else "all free"]
    all_read = [*all_read, ", ".join(shared)] if len(shared) > 0 else all_read
    read = "I read: " + "; ".join(all_read) + "."
    kind = "go" if lot["advice"] == GO else "if" if lot["advice"] == SOME else "pass"
    said_first = [headline(lot, place), *[f"{said}." for said in lead]]
    warned = [plain.need(8, plain.sentence(said)) for said in answer["warnings"]]
    return {
        **decided.plate(answer, kind, said_first, read, [], warned),
        "sections": [
            plain.table("lot", "Each, with one drive for all", ["unit", "pay up to"], rows)
        ],
        "open": 1,
    }


def headline(lot: dict[str, Any], place: dict[str, Any]) -> str:
    """Which to take, and up to how much for them together."""
    most, theirs = plain.most_to_pay(lot["pay_up_to"], place), lot["their_price"]
    taken = plain.names([f"no. {i}" for i in lot["take"]])
    if len(lot["take"]) == 0:
        at = f" at {plain.money(theirs, place)}" if theirs is not None and theirs > 0 else ""
        return f"PASS on all {lot['units']}{at}."
    if theirs is not None and theirs > plain.down(lot["pay_up_to"]):
        which = "all of them" if len(lot["take"]) == lot["units"] else taken
        return f"PASS at {plain.money(theirs, place)}. Pay up to {most} for {which}."
    if lot["advice"] == GO:
        return f"TAKE ALL {lot['units']}. Pay up to {most} for all."
    return f"TAKE {taken} of {lot['units']}. Pay up to {most}{_whole(lot, place)}."


def _whole(lot: dict[str, Any], place: dict[str, Any]) -> str:
    """What all together are worth, where one would have to take them all."""
    if lot["all_pay_up_to"] is None:
        return ", and leave the other" + ("" if lot["units"] - len(lot["take"]) == 1 else "s")
    return f"; {plain.most_to_pay(lot['all_pay_up_to'], place)} if you must take all"


def runs(said: list[str]) -> list[list[int]]:
    """The places of what is said in a row, like beside like.

    >>> runs(["dryer", "dryer", "fridge"])
    [[0, 1], [2]]
    """
    out: list[list[int]] = []
    for i in range(len(said)):
        if i > 0 and said[i] == said[i - 1]:
            out[len(out) - 1].append(i)
        else:
            out.append([i])
    return out


def without_shared(said: list[str]) -> tuple[list[str], list[str]]:
    """Each without the end that all have in common, and that end.

    >>> without_shared(["dryer, 9 miles", "fridge, good, 9 miles"])
    (['dryer', 'fridge, good'], ['9 miles'])
    """
    if len(runs(said)) == 1:
        return said, []
    parts = [one.split(", ") for one in said]
    shared: list[str] = []
    while all(len(one) > 1 and one[len(one) - 1] == parts[0][len(parts[0]) - 1] for one in parts):
        shared = [parts[0][len(parts[0]) - 1], *shared]
        parts = [one[0 : len(one) - 1] for one in parts]
    return [", ".join(one) for one in parts], shared


def _numbered(run: list[int]) -> str:
    """No. 1 to 4, No. 5."""
    to = " and " if len(run) == 2 else " to "
    last = f"{to}{run[len(run) - 1] + 1}" if len(run) > 1 else ""
    return f"No. {run[0] + 1}{last} "


def _times(n: int) -> str:
    return f"{n} times " if n > 1 else ""


def _what(one: dict[str, Any]) -> str:
    """A unit by its kind and its fault."""
    unit = one["unit"]
    fault = ", " + fault_said(unit["fault"]).replace('"', "") if unit.get("fault") else ""
    return f"{unit['type']}{fault}"


def _row(one: dict[str, Any], number: int, taken: bool, place: dict[str, Any]) -> list[str]:
    """A unit's name and what it leaves to pay."""
    name = f"No. {number} {_what(one)}"
    if one["decision"]:
        said = decided.HEADLINES["offer"][one["decision"]]
        return [name, said.split(".")[0].lower()]
    most = one["pay_up_to"]
    worth = f"up to {plain.most_to_pay(most, place)}" if plain.down(most) > 0 else "pass"
    return [name, worth if taken or most <= 0 else f"{worth}, not on this drive"]
