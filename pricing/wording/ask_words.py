"""At listing and while listed: what to ask, what it brings, what not to take under, the plan."""

from typing import Any

from pricing.wording.alongside import ads_lines, beside_sections
from pricing.wording.decided import open_said, plate, stopped
from pricing.wording.plain import (
    added,
    count,
    day,
    day_and_year,
    facts,
    fixed,
    guess,
    legend,
    limit,
    mark,
    money,
    need,
    percent,
    sentence,
    spread,
    table,
    text,
    to_limit,
)

TAKE, COUNTER = "take it", "counter"
SAME = 0.015  # of an ask: a step smaller than this is none, as the list of the unsold has it
TOLD = "your number"  # standing of a figure that the person gave


def view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `ask --json` as sentences and rows."""
    if answer["decision"]:
        return stopped(answer, "ask")
    told = decision(answer, place)
    unknown = open_said(answer, "asked_now")
    if unknown != "":
        waits = f'WHAT IS "{unknown}": your ask now, or a bid?'
        told = [waits, f"Without it: {told[0]}", *told[1:]]
    up, since = answer["days_listed"], "Not listed yet."
    if up is not None:
        since = f"Listed {count(up, 'day')}." if up > 0 else "Listed."
    read = f"I read: {answer['as_read']}. {since}"
    bid = answer["offered"]
    taken = bid is not None and bid["say"] == TAKE
    kind = "go" if answer["plan"] and (bid is None or taken) and unknown == "" else "if"
    unsure = guess(answer["standing"]["price"]) + ads_lines(answer)
    more = [need(6, said) for said in _closing(answer, place)]
    more += [need(8, sentence(said)) for said in answer["warnings"]]
    return {
        **plate(answer, kind, told, read, unsure, more),
        "picture": _picture(answer, place),
        "sections": _sections(answer, place),
        "open": 3 if answer["plan"] else 1,
        "legend": legend(list(answer["standing"].values())),
    }


def decision(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """What to say to a bid, where there is one; what to ask, what to expect, the least today."""
    return [*_to_bid(answer["offered"], place), *_asks(answer, place)]


def _to_bid(bid: dict[str, Any] | None, place: dict[str, Any]) -> list[str]:
    if bid is None:
        return []
    offered, least = money(bid["offered"], place), limit(bid["take_at_least"], place)
    if bid["say"] == TAKE:
        return [f"TAKE the {offered} bid.", f"Today anything from {least} is worth taking."]
    later = [f"If it hasn't sold by {day(bid['until'])}, take {offered}."] if bid["until"] else []
    if bid["say"] == COUNTER:
        counter = money(bid["counter"], place)
        if bid["offered"] >= bid["take_at_least"]:
            return [f"SAY {counter} to their {offered}.", f"If they stay at {offered}, take it."]
        return [f"SAY {counter} to their {offered}.", f"Today, don't take under {least}.", *later]
    return [f"SAY NO to {offered}.", f"Today, don't take under {least}.", *later]


def _asks(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    if not answer["plan"]:
        price = limit(answer["clear"]["price"], place)
        days = answer["days_listed"]
        if days is None:
            return [f"SELL IT OFF for about {price}."]
        end = count(place["clear_after_days"], "day")
        return [f"SELL IT OFF for about {price}: listed {count(days, 'day')}, your limit is {end}."]
    expect = limit(answer["price_at_ask"]["median"], place)
    drops = " after price drops" if len(answer["plan"]) > 1 else ""
    ask, bid = money(answer["ask"], place), answer["offered"]
    if bid is not None and bid["say"] == TAKE:
        return [f"If it falls through, ask {ask}: expect about {expect}{drops}."]
    if bid is not None:
        return [f"Else ask {ask}: expect about {expect}{drops}."]
    least = limit(answer["take_at_least"], place)
    likely = f"It will likely sell for about {expect}{drops}. Today, don't take under {least}."
    now = answer["in_force"]
    if now is not None and abs(answer["ask"] - now) <= SAME * now:
        brings = f"Expect about {expect}; today, don't take under {least}."
        return [f"KEEP IT AT {money(now, place)}.", _why_kept(answer, place), brings]
    return [f"ASK {ask}.", likely]


def _why_kept(answer: dict[str, Any], place: dict[str, Any]) -> str:
    """Why the ask that stands is left where it is, and what comes next, on its day."""
    days = answer["days_listed"]
    early = "Too soon to drop" if days is not None and days >= 7 else "Give it its week"
    soon = f"{early}: half sell within {count(answer['median_days'], 'day')}."
    if len(answer["plan"]) > 1:
        step = answer["plan"][1]
        return f"{soon} Not sold by {day(step['date'])}? Ask {money(step['ask'], place)}."
    clear = answer["clear"]
    sold_off = f"Not sold by {day(clear['date'])}? Sell it off for"
    return f"{soon} {sold_off} about {limit(clear['price'], place)}."


def _closing(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    sells = answer["price_at_ask"]
    most = f"Most sell for {spread(sells['low'], sells['high'], place)}"
    if sells["low"] == sells["high"] or not answer["plan"]:
        return []
    return [f"{most}; half within {count(answer['median_days'], 'day')}."]


def _picture(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    sells = answer["price_at_ask"]
    marks = [mark("disc", sells["median"], "expect", limit(sells["median"], place))]
    if answer["plan"]:
        least = answer["take_at_least"]
        marks = [
            mark("tag", answer["ask"], "ask", money(answer["ask"], place)),
            *marks,
            mark("floor", least, "don't take under", limit(least, place)),
        ]
    bid = answer["offered"]
    if bid is not None:
        marks.append(mark("square", bid["offered"], "their bid", money(bid["offered"], place)))
    ends = [limit(sells["low"], place), limit(sells["high"], place)]
    return {"low": sells["low"], "high": sells["high"], "marks": marks, "ends": ends}


def _sections(answer: dict[str, Any], place: dict[str, Any]) -> list[dict[str, Any]]:
    sections = [facts(_numbers(answer, place))]
    if answer["plan"]:
        sections.append(_sold_by(answer))
        sections.append(_plan(answer, place))
    if answer["choices"]:
        sections += _choices(answer, place)
    if answer["pair"] is not None:
        sections.append(_pair(answer["pair"], place))
    if answer["because"] and answer["standing"]["price"] != TOLD:
        sections.append(_why(answer, place))
    if answer["similar"]:
        sections.append(_similar(answer, place))
    if answer["ceiling"]:
        sections.append(text("ceiling", "", [sentence(answer["ceiling"])]))
    return sections + beside_sections(answer, place)


def _numbers(answer: dict[str, Any], place: dict[str, Any]) -> list[list[str]]:
    sells, standing = answer["price_at_ask"], answer["standing"]
    ends = f"most: {spread(sells['low'], sells['high'], place)}"
    most = ends if sells["low"] < sells["high"] else ""
    under = f"{round(answer['talked_down'] * 100)}%"
    return [
        ["Will sell for", limit(sells["median"], place), most, standing["price"]],
        ["Buyers pay", under, "under your last ask", standing["haggle"]],
    ]


def _sold_by(answer: dict[str, Any]) -> dict[str, Any]:
    rows = [[f"{days} days", percent(share)] for days, share in answer["chance_sold"].items()]
    made = table("sold_by", "Chance it's sold in", ["within", answer["standing"]["days"]], rows)
    made["shares"] = list(answer["chance_sold"].values())
    return made


def _plan(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """Each step by its day; the last line is selling it off."""
    rows = [
        [day(step["date"]), money(step["ask"], place), limit(step["take_at_least"], place)]
        for step in answer["plan"]
    ]
    clear = answer["clear"]
    rows.append([day(clear["date"]), "sell it off", limit(clear["price"], place)])
    return table("plan", "If it doesn't sell", ["from", "ask", "don't take under"], rows)


def _choices(answer: dict[str, Any], place: dict[str, Any]) -> list[dict[str, Any]]:
    rows = []
    for one in answer["choices"]:
        ask, sells, left = money(one["ask"], place), limit(one["price"], place), one["left"]
        rows.append([one["name"], ask, fixed(one["days"], 0), sells, money(left, place)])
    a_day = money(answer["holding_cost_per_day"], place)
    after = f"storage ({a_day} a day)"
    if answer["spot"]:
        after = f"{a_day} a day, what a spot earns you"
    heads = ["way", "ask", "days", "sells at", "left"]
    note = text("choices_note", "", [f"Left: after {after}."])
    return [table("choices", "Fast or dear", heads, rows), note]


def _pair(pair: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    rows = [["as a pair", limit(pair["as_pair"], place), pair["standing"]]]
    rows += [[one["type"], limit(one["price"], place), "by itself"] for one in pair["as_two"]]
    better = "as a pair" if pair["premium"] > 0 else "one by one"
    return table("pair", f"Sell them {better}", ["sold", "brings", "whose"], rows)


def _why(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    terms = [[one["term"], one["amount"]] for one in answer["because"]]
    said = f"sold your usual way, most {spread(answer['low'], answer['high'], place)}"
    rows = added(terms, to_limit(answer["median"]), said, place)
    return table("why", "Priced like your past sales", ["term", "money"], rows)


def _similar(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    rows = []
    for one in answer["similar"][0:5]:
        sold, price = day_and_year(one["sold"], answer["as_of"]), money(one["price"], place)
        rows.append([f"{one['unit']} {one['said']}", sold, price, money(one["adjusted"], place)])
    heads = ["unit", "on", "sold for", "= this unit today"]
    made = table("similar", "Your sales that count most", heads, rows)
    made["units"] = [one["unit"] for one in answer["similar"][0:5]]
    return made
