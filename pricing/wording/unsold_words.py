"""Units that have not sold: what is due today, why, and what not to take under."""

from typing import Any

from pricing.wording.decided import HEADLINES
from pricing.wording.plain import count, day, limit, money, sentence, spread

DOWN, PRICE, CLEAR = "come down", "put a price on it", "clear it out"


def view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `unsold --json`: a headline, and a row a unit with its next step."""
    today = answer["as_of"]
    rows = [_waiting(one, today, place) for one in answer["unsold"]]
    undated = [_short(one) for one in answer["no_listed_date"]]
    due = len([one for one in rows if one["due"]])
    n = len(rows)
    if n == 0:
        headline = "Nothing is listed."
    elif due == 0:
        headline = f"{n} listed. Nothing to do today."
    else:
        them = "it" if n == 1 else "all of them" if due == n else f"{due} of them"
        headline = f"{n} listed. Do something today about {them}."
    drops = [one for one in rows if one["press"]]
    return {
        "headline": headline,
        "drop_all": f"Drop all {len(drops)} prices" if len(drops) > 1 else "",
        "rows": [one for one in rows if one["due"]] + [one for one in rows if not one["due"]],
        "first": _first(answer["unsold"]),
        "together": _together(answer["together"], place),
        "undated": undated,
        "in_work": [_short(one) for one in answer["in_work"]],
        "nothing": "" if n or undated or answer["in_work"] else "No unit of yours is open.",
    }


def _together(total: dict[str, Any], place: dict[str, Any]) -> str:
    """What they sell for in all. The range holds what their prices have in common."""
    if total["n"] < 2:
        return ""
    about = limit(total["median"], place)
    ends = spread(total["low"], total["high"], place)
    return f"Together they should bring {about}, most likely {ends}."


def _first(waiting: list[dict[str, Any]]) -> str:
    """Which one to give up where a spot is needed."""
    for one in waiting:
        if one["order"] == 1 and len(waiting) > 1:
            return f"Need a spot? Sell off {one['unit']} first ({one['said']}): it earns least."
    return ""


def _waiting(one: dict[str, Any], today: str, place: dict[str, Any]) -> dict[str, Any]:
    """Days so far against the usual ones, the step that comes next, its reason."""
    asked = "" if one["asked"] is None else f" at {money(one['asked'], place)}"
    days = count(one["days"], "day")
    # it may sit long for the asks it had, before the days that its first ask would take
    pace = "Slow: " if one["sits"] and one["days"] >= one["normal"] else ""
    usual = f"{pace}half like it take {count(one['normal'], 'day')}."
    due = one["on"] <= today
    when = "today" if due else f"on {day(one['on'])}"
    least = limit(one["least"], place)
    clear = one["step"] == CLEAR
    if one["decision"]:
        step = f"Take it down today. {HEADLINES['ask'][one['decision']]}"
        step = " ".join([*one["dangers"], step])
    elif one["step"] == DOWN:
        why = ": half like it had sold by now" if one["days"] >= one["normal"] else ""
        step = f"Drop the price to {money(one['to'], place)} {when}{why}."
    elif one["step"] == PRICE:
        step = f"Put a price on it: {money(one['to'], place)}."
    elif due:
        step = f"Sell it off now for {least} or more{_past(one, place)}."
    else:
        step = f"Sell it off {when} for about {limit(one['to'], place)}."
    if not one["decision"] and not (clear and due):
        step = f"{step} Today, don't take under {least}."
    return {
        **_line(one, due, when, place),
        "unit": one["unit"],
        "said": one["said"],
        "days": f"Listed {days}{asked}. {sentence(usual)}",
        "step": step,
        "due": due,
        "sits": one["sits"],
        "opens": "sold" if clear else "down",
        "to": one["to"],
    }


def _line(one: dict[str, Any], due: bool, when: str, place: dict[str, Any]) -> dict[str, Any]:
    """A unit as one line of a list. press: the words of a press that does its step by itself, where
    no danger stands above the money; share: its days, of twice the usual ones."""
    by_press = due and not one["decision"] and one["step"] in (DOWN, PRICE)
    press = "Drop to" if one["step"] == DOWN else "Ask"
    return {
        "press": f"{press} {money(one['to'], place)}" if by_press else "",
        "begins": _begins(one, when, place),
        "listed": one["days"],
        "asked": one["asked"] or 0.0,
        "so_far": f"{count(one['days'], 'day')}, usual {round(one['normal'])}",
        "share": min(one["days"] / max(2 * one["normal"], 1.0), 1.0),
    }


def _begins(one: dict[str, Any], when: str, place: dict[str, Any]) -> str:
    """The step in a few words, for a line of a list."""
    if one["decision"]:
        return "take it down"
    if one["step"] == PRICE:
        return f"ask {money(one['to'], place)}"
    what = "drop to" if one["step"] == DOWN else "sell off at"
    to = money(one["to"], place) if one["step"] == DOWN else limit(one["to"], place)
    return f"{what} {to} {when}"


def _past(one: dict[str, Any], place: dict[str, Any]) -> str:
    end = place["clear_after_days"]
    return f": past your {round(end)}-day limit" if one["days"] >= end else ""


def _short(one: dict[str, Any]) -> dict[str, Any]:
    days = "" if one["days"] is None else count(one["days"], "day")
    return {"unit": one["unit"], "said": one["said"], "state": one["outcome"], "days": days}
