"""The first page in words: what was kept, what to stop, what to do more of, what to do now."""

from typing import Any

from pricing.wording import stop_rule
from pricing.wording.plain import count, hours, limit, mark, money, short

TAKE_DOWN = "take it down"
ANSWER_FIRST, DO_NOW = "Answer first", "Do now"
# lines said; the other steps stand under what waits
MOST_ASKED, MOST_MORES, MOST_DUE = 1, 2, 2
# what a group is, said before its name
GROUPED = {
    "found": "found", "repair": "repair", "fault": "told as", "age": "age", "miles": "drive of",
    "got_from": "from", "sold_where": "sold by", "month": "got in", "maker": "make",
    "condition": "condition", "paid": "paid",
}  # fmt: skip


def view(front: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The first page as a sentence and three lists."""
    stops = [_stop(one, place) for one in front["stops"]]
    mores = [_more(one, place) for one in front["mores"][0:MOST_MORES]]
    asked = [question(one, place) for one in front["asked"]]
    lists = [
        [ANSWER_FIRST, asked[0:MOST_ASKED] + _more_asked(asked)],
        ["Stop", stops],
        ["Do more of", mores],
        [DO_NOW, _now(front, place)],
        ["Your rules", [stop_rule.did(one, place) for one in front["rules"]]],
        ["How it was looked for", _sampled(front)],
    ]
    return {
        "kept": kept(front, place),
        "picture": _hour(front, place),
        "how": [how(one) for one in front["asked"][0:MOST_ASKED]],
        "lists": [
            [title, [said[0:1].upper() + said[1 : len(said)] for said in sentences]]
            for title, sentences in lists
        ],
    }


def _sampled(front: dict[str, Any]) -> list[str]:
    """That a long record was searched by a fair sample."""
    if front["looked_at"] == front["of"]:
        return []
    some, of = count(front["looked_at"], "unit"), count(front["of"], "unit")
    return [f"in a fair sample by month, {some} of {of}; the sums are over all of them."]


def lines(said: dict[str, Any]) -> list[str]:
    """The first page as lines, each with its word before it."""
    out = [said["kept"]]
    for title, sentences in said["lists"]:
        out += [f"{title.upper()}: {one}" for one in sentences]
        if title == ANSWER_FIRST:
            out += [f"Say: {one}" for one in said["how"]]
    return out


def before_fold(said: dict[str, Any]) -> dict[str, Any]:
    """The first of each list; what is due today gives way to a figure that waits for an answer."""
    waits = any(title == ANSWER_FIRST and sentences for title, sentences in said["lists"])
    left = [one for one in said["lists"] if not (waits and one[0] == DO_NOW)]
    return {**said, "lists": [[title, sentences[0:1]] for title, sentences in left]}


def kept(front: dict[str, Any], place: dict[str, Any]) -> str:
    """What the quarter came to, against the one before."""
    now, before = front["now"], front["before"]
    if now["n_ended"] == 0:
        spent = ""
        if now["profit"] != 0 or now["hours"] > 0:
            spent = f", and trips and expenses cost {money(-now['profit'], place)}"
        return f"{now['quarter']}: you finished no unit{spent}."
    sold = f"you sold {now['n_sold']} of {count(now['n_ended'], 'unit')}"
    money_kept = f"kept {money(now['profit'], place)} in {hours(round(now['hours']))}"
    text = f"{now['quarter']}: {sold} and {money_kept}"
    if now["per_hour"] is not None:
        text += f": {money(now['per_hour'], place)} an hour"
    want = f"; you want {money(front['target'], place)}."
    if before["n_ended"] == 0 or before["per_hour"] is None:
        return f"{text}{want}"
    return f"{text}, {money(before['per_hour'], place)} the quarter before{want}"


def _hour(front: dict[str, Any], place: dict[str, Any]) -> dict[str, Any] | None:
    """An hour of the quarter on a line: where it most likely lies, the one before, the wanted."""
    now, was, target = front["now"], front["before"]["per_hour"], front["target"]
    if now["low"] is None:
        return None
    marks = [mark("disc", now["per_hour"], "now", money(now["per_hour"], place))]
    if was is not None:
        marks.append(mark("ring", was, "before", money(was, place)))
    marks.append(mark("floor", target, "wanted", money(target, place)))
    ends = [money(now["low"], place), money(now["high"], place)]
    return {"low": now["low"], "high": now["high"], "marks": marks, "ends": ends}


NAMED = {
    "price": "sold for", "paid": "paid", "parts": "parts", "haul_cost": "truck and dump",
    "fees": "fees", "refund": "refund", "helper": "helper", "cost_in": "spent", "hours": "hours",
    "drive_min": "driving minutes", "diagnose_min": "finding minutes",
    "repair_min": "repair minutes", "clean_min": "cleaning minutes",
    "sell_min": "selling minutes",
}  # fmt: skip


def figure(column: str, value: float, place: dict[str, Any]) -> str:
    """A value of a column as a person writes it."""
    if column == "hours" or column.endswith("_min"):
        return short(value, 2)
    return money(value, place)


def question(one: dict[str, Any], place: dict[str, Any]) -> str:
    """What to ask of a value in doubt, which is left out of every sum until it is answered."""
    ask = "is that right?"
    if one["likely"] is not None:
        ask = f"did you mean {figure(one['column'], one['likely'], place)}?"
    value = figure(one["column"], one["value"], place)
    return f"{one['unit']}, {NAMED[one['column']]} {value}, left out: {ask}"


def how(one: dict[str, Any]) -> str:
    """How to answer it in a terminal; on a page a button stands beside it."""
    likely = "the right figure" if one["likely"] is None else short(one["likely"], 2)
    return f"pricing slip {one['unit']} {likely} (or right)"


def _more_asked(asked: list[str]) -> list[str]:
    left = len(asked) - MOST_ASKED
    return [f"{count(left, 'value')} more to look at: pricing slip."] if left > 0 else []


def named(one: dict[str, Any]) -> str:
    """A group by what it is: found board, drive of 10 to under 20 miles."""
    by = one["by"][len(one["by"]) - 1]
    kind = f"{GROUPED[by]} " if by in GROUPED and len(one["by"]) == 1 else ""
    return f"{kind}{one['group']}"


def _brought(one: dict[str, Any], place: dict[str, Any]) -> str:
    a_year = f"{money(one['money'], place)} a year in {hours(round(one['hours']))}"
    return f"{named(one)}: {a_year}"


def _behind(one: dict[str, Any]) -> str:
    """The units behind a line, and how sure it is: by how seldom shuffled records show as much."""
    sure = "very sure" if one["p"] < 0.001 else "sure" if one["p"] < 0.01 else "likely"
    return f"({count(one['n'], 'unit')}; {sure})"


def _stop(one: dict[str, Any], place: dict[str, Any]) -> str:
    low, high = money(max(0.0, -one["high"]), place), money(-one["low"], place)
    return f"{_brought(one, place)}, {low} to {high} under your hour {_behind(one)}."


def _more(one: dict[str, Any], place: dict[str, Any]) -> str:
    low, high = money(max(0.0, one["low"]), place), money(one["high"], place)
    return f"{_brought(one, place)}, {low} to {high} over your hour {_behind(one)}."


def _now(front: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """The steps that are due, from the units themselves."""
    found = [_step(one, place) for one in front["due"][0:MOST_DUE]]
    if front["stuck"]:
        n, one = len(front["stuck"]), front["stuck"][0]
        in_it = money(front["stuck_money"], place)
        said = f"finish or part out {one}: over a month in the shop, {in_it} in it."
        if n > 1:
            all_n = f"the {n} units in the shop for over a month"
            said = f"finish or part out {all_n}, {in_it} in them; {one} first."
        found.append(said)
    return found


def _step(one: dict[str, Any], place: dict[str, Any]) -> str:
    days = "" if one["days"] is None else f", {count(one['days'], 'day')} listed"
    who = f"the {one['type']} ({one['unit']}{days})"
    if one["step"] == TAKE_DOWN:
        return f"take down {who}: a danger stands on it."
    to = ""
    if one["to"] is not None:
        to = f" at {limit(one['to'], place)}" if one["step"] == "clear it out" else ""
        to = to or f" to {money(one['to'], place)}"
    do = {"clear it out": "sell off", "come down": "drop the price of"}
    least = "" if one["least"] is None else f"; don't take under {limit(one['least'], place)}"
    if least.endswith(to[4 : len(to)]) and to:
        least = ""
    return f"{do.get(one['step'], 'put a price on')} {who}{to}{least}."
