"""Several units in one call: which to take, and the most for them together."""

from typing import Any

from pricing.wording.decided import HEADLINES
from pricing.wording.plain import (
    down,
    limit,
    money,
    most_to_pay,
    names,
    need,
    reminders,
    sentence,
    spread,
    table,
)

GO, SOME = "take all", "take some"


def lot_view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `offer --json` whose `lot` holds several units."""
    lot = answer["lot"]
    each, take = lot["each"], lot["take"]
    rows = [_row(each[i], i + 1, i + 1 in take, place) for i in range(len(each))]
    dangers = answer["dangers"]
    cautions = [said for said in answer["cautions"] if said not in dangers]
    lead = [f"{row[0]}: {row[1]}" for row in rows]
    if len(lot["take"]) > 1:
        sold = lot["sells_for"]
        ends = spread(sold["low"], sold["high"], place)
        lead = [*lead, f"Fixed, in all: {limit(sold['median'], place)}, most likely {ends}"]
    all_read = [one["as_read"] for one in lot["each"]]
    if lot["their_price"] is not None:
        all_read = [*all_read, f"{money(lot['their_price'], place)} in all"]
    read = "I read: " + "; ".join(all_read) + "."
    return {
        "kind": "go" if lot["advice"] == GO else "if" if lot["advice"] == SOME else "pass",
        "headline": headline(lot, place),
        "lead": [f"{said}." for said in lead],
        "dangers": dangers,
        "read": read,
        "guess": [],
        "short": [
            *[need(7, f"{said}.") for said in lead],
            *[need(8, sentence(said)) for said in answer["warnings"]],
            *reminders(cautions),
            need(8, read),
        ],
        "picture": None,
        "sections": [table("lot", "Each, with one drive for all", ["unit", "pay up to"], rows)],
        "open": 1,
        "cautions": cautions,
        "warnings": [sentence(said) for said in answer["warnings"]],
        "legend": [],
    }


def headline(lot: dict[str, Any], place: dict[str, Any]) -> str:
    """Which to take, and up to how much for them together."""
    most, theirs = most_to_pay(lot["pay_up_to"], place), lot["their_price"]
    taken = names([f"no. {i}" for i in lot["take"]])
    if len(lot["take"]) == 0:
        at = f" at {money(theirs, place)}" if theirs is not None and theirs > 0 else ""
        return f"PASS on all {lot['units']}{at}."
    if theirs is not None and theirs > down(lot["pay_up_to"]):
        which = "all of them" if len(lot["take"]) == lot["units"] else taken
        return f"PASS at {money(theirs, place)}. Pay up to {most} for {which}."
    if lot["advice"] == GO:
        return f"TAKE ALL {lot['units']}. Pay up to {most} for all."
    return f"TAKE {taken} of {lot['units']}. Pay up to {most}{_whole(lot, place)}."


def _whole(lot: dict[str, Any], place: dict[str, Any]) -> str:
    """What all together are worth, where one would have to take them all."""
    if lot["all_pay_up_to"] is None:
        return ", and leave the other" + ("" if lot["units"] - len(lot["take"]) == 1 else "s")
    return f"; {most_to_pay(lot['all_pay_up_to'], place)} if you must take all"


def _row(one: dict[str, Any], number: int, taken: bool, place: dict[str, Any]) -> list[str]:
    """A unit's name and what it leaves to pay."""
    unit = one["unit"]
    fault = f", {unit['fault']}" if unit.get("fault") else ""
    name = f"No. {number} {unit['type']}{fault}"
    if one["decision"]:
        said = HEADLINES["offer"][one["decision"]]
        return [name, said.split(".")[0].lower()]
    most = one["pay_up_to"]
    worth = f"up to {most_to_pay(most, place)}" if down(most) > 0 else "pass"
    return [name, worth if taken or most <= 0 else f"{worth}, not on this drive"]
