"""What pays per hour: which groups to take, told by what the next units of each may bring."""

from typing import Any

from pricing.wording.plain import count, fixed, hours, money, percent, short

TASKS = {
    "drive": "drive", "diagnose": "find", "repair": "repair", "clean": "clean", "sell": "sell",
    "not_split": "other", "comebacks": "back",
}  # fmt: skip


def view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `compare --json` as a headline, a row a group, and notes. A row's bar and its
    number are the same: what to expect of the next units, between its ends."""
    groups = answer["groups"]
    return {
        "headline": headline(answer, place),
        "overall": _overall(answer, place) if groups else "",
        "rows": [_row(one, answer["target"], place) for one in groups],
        "scale": _scale(groups, answer["target"], place),
        "hours": _hours(groups),
        "mix": _mix(answer.get("mix"), place),
        "notes": _notes(answer, place) if groups else [],
    }


def headline(answer: dict[str, Any], place: dict[str, Any]) -> str:
    """Which one to take, or that it cannot be told."""
    groups = answer["groups"]
    if not groups:
        missing = answer["n_uncounted"]
        more = f" {count(missing, 'sale')} without a price: write it." if missing else ""
        return f"NOTHING TO COMPARE YET: no unit is sold, parted or scrapped.{more}"
    best = groups[0]
    expect = money(best["pooled"], place)
    if len(groups) == 1:
        return f"{_named(best).upper()}: {expect} per hour. Nothing else to compare it with yet."
    if answer["sure"]:
        chance = f"chance it's the best: {percent(best['chance_best'])}"
        return f"{_named(best).upper()} PAYS BEST: expect {expect} per hour; {chance}."
    for one in groups[1:]:
        if one["name"] == answer["rival"]:
            other = f"{_named(one)} {money(one['pooled'], place)}"
            both = "Take both." if one["pooled"] >= answer["target"] else "Neither leads."
            return f"TOO CLOSE TO CALL: {_named(best)} {expect} per hour, {other}. {both}"
    return f"TOO CLOSE TO CALL: {_named(best)} {expect} per hour, and others may be as good."


def _named(group: dict[str, Any]) -> str:
    return str(group["name"])


def _overall(answer: dict[str, Any], place: dict[str, Any]) -> str:
    most = ""
    if answer["low"] is not None and answer["high"] is not None:
        most = f" (most likely {money(answer['low'], place)} to {money(answer['high'], place)})"
    trips = f" and {count(answer['n_trips'], 'wasted trip')}" if answer["n_trips"] else ""
    done = f"All {count(answer['n'], 'unit')} done: {money(answer['per_hour'] or 0.0, place)}"
    want = f"you want {money(answer['target'], place)}"
    return f"{done} per hour{most}; {want}. Failed units{trips} are counted."


def _mark(low: float, high: float, target: float) -> str:
    """Which side of the wanted hour a group is on, where most of what it may bring is; by the
    figures as they are shown.

    >>> _mark(-9.2, 26.6, 30.0), _mark(34.0, 48.0, 30.0), _mark(23.0, 52.0, 30.0)
    ('under', 'over', '')
    """
    if round(high) < round(target):
        return "under"
    return "over" if round(low) > round(target) else ""


def _row(one: dict[str, Any], target: float, place: dict[str, Any]) -> dict[str, Any]:
    ends = f"{money(one['pooled_low'], place)} to {money(one['pooled_high'], place)}"
    return {
        "name": _named(one),
        "expect": money(one["pooled"], place),
        "most": ends,
        "so_far": money(one["per_hour"], place),
        "n": one["n"],
        "units": count(one["n"], "unit"),
        "failed": f"{one['n_failed']} failed" if one["n_failed"] else "",
        "best": percent(one["chance_best"]),
        "mark": _mark(one["pooled_low"], one["pooled_high"], target),
        "low": one["pooled_low"],
        "high": one["pooled_high"],
        "at": one["pooled"],
    }


def _scale(groups: list[dict[str, Any]], target: float, place: dict[str, Any]) -> dict[str, Any]:
    """The ends of one scale for all groups, zero and the person's hour on it."""
    ends = [0.0, target] + [one["pooled_low"] for one in groups]
    ends += [one["pooled_high"] for one in groups]
    low, high = min(ends), max(ends)
    return {
        "low": low,
        "high": high,
        "target": target,
        "said": [money(low, place), money(high, place)],
        "wanted": f"your {money(target, place)} an hour",
        "yours": f"your {money(target, place)}",
    }


def _hours(groups: list[dict[str, Any]]) -> dict[str, Any] | None:
    """Hours a unit by task, tasks that nobody wrote left out."""
    used = [task for task in TASKS if any(one["hours_by_task"].get(task, 0) > 0 for one in groups)]
    if not used:
        return None
    return {
        "heads": ["hours a unit"] + [TASKS[task] for task in used] + ["failed"],
        "rows": [
            [_named(one)]
            + [fixed(one["hours_by_task"].get(task, 0) / one["n"], 1) for task in used]
            + [f"{one['n_failed']} of {one['n']}"]
            for one in groups[0:4]
        ],
    }


def _notes(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    notes: list[str] = []
    for one in answer["groups"][0:3]:
        if one["wild"] and not notes:
            notes.append(wild(one, place))
    filled = sum([one["assumed_hours"] for one in answer["groups"]])
    cost = sum([one["assumed_money"] for one in answer["groups"]])
    if filled >= 0.05 * answer["hours"] or cost > 0:
        both = f"{hours(round(filled))}, {money(cost, place)} of costs"
        notes.append(f"Filled in where your sheet is blank: {both}.")
    if answer["n_uncounted"]:
        notes.append(f"Left out: {answer['n_uncounted']} sold with no price.")
    if answer["n_without_hours"]:
        notes.append(f"Left out: {answer['n_without_hours']} in groups with no hours.")
    return notes


def wild(group: dict[str, Any], place: dict[str, Any]) -> str:
    """One unit that moves its group by much: a typo, or luck that will not come again."""
    without = money(group["without_wild"] or 0.0, place)
    made = f"{_named(group)} has made {without} per hour so far"
    right = f"Is {group['wild']} written right?"
    return f"{right} Without it {made}, not {money(group['per_hour'], place)}."


def _mix(mix: dict[str, Any] | None, place: dict[str, Any]) -> dict[str, Any] | None:
    """The best mix for a week, beside the pace so far, and what it rests on."""
    if mix is None:
        return None
    a_week = 12 / 52
    spots = short(mix["spots"], 1)
    return {
        "headline": (
            f"WITH {short(mix['hours'], 1)} HOURS A WEEK AND {spots} SPOTS the best mix makes about"
            f" {money(mix['profit'], place)} a week; so far it is {money(mix['profit_now'], place)}"
            f" in {hours(mix['hours_now'])}."
        ),
        "heads": ["units a month", "now", "best"],
        "rows": [
            [name, fixed(now / a_week, 1), fixed(best / a_week, 1)]
            for name, now, best in mix["parts"]
        ],
        "note": (
            f"An hour more a week would add {money(mix['worth_of_hour'], place)}, a spot more"
            f" {money(mix['worth_of_spot'], place)}. This takes the next units to pay as the last"
            f" did, no season, and no more than {short(mix['reach'], 0)} times your usual number."
        ),
    }
