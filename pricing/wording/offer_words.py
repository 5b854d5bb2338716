"""Before the drive: go or pass and the most to pay, what it pays per hour, what to ask first."""

from typing import Any

from pricing.wording.alongside import ads_lines, beside_sections, door_lines
from pricing.wording.decided import open_said, plate, stopped
from pricing.wording.lot_words import lot_view
from pricing.wording.plain import (
    added,
    down,
    facts,
    fixed,
    guess,
    hours,
    legend,
    likely,
    limit,
    mark,
    money,
    most_to_pay,
    need,
    own_fixed,
    percent,
    sentence,
    short,
    spread,
    table,
    text,
)

HAUL, IF_FREE, IF_PAID = "haul", "haul if free", "only if paid"
# What lowers a limit, and the reason that a person hears: the largest one is named.
REASONS = {
    "truck and helper": "too far to drive",
    "your hours": "too many hours",
    "parts, duds counted": "the parts cost too much",
    "keeping it until it sells": "it would sit too long",
}
TERMS = {
    "sold, when fixed": "sale, times the chance you fix it",
    "set by for comebacks": "kept back for comebacks",
    "parts, duds counted": "parts, failures included",
    "if it beats you": "what is left if you can't fix it",
    "left as it is": "what it brings as it is",
}


def view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `offer --json` as sentences and rows."""
    if answer["decision"]:
        return stopped(answer, "offer")
    if "lot" in answer:
        return lot_view(answer, place)
    kind, headline = decision(answer, place)
    lead = [_at_price(answer, place)]
    if not answer["go_on"]:
        lead.append(_unfixed(kind, answer, place))
    told = _first_question(answer, place)
    unsure = guess(answer["standing"]["price"]) + ads_lines(answer)
    at_door = door_lines(answer)
    open_kind = len(answer["by_kind"]) > 1
    more = [
        need(5 if open_kind else 6, _sells(answer, place)),
        *[need(6 if open_kind else 4, said) for said in told],
        *[need(5, said) for said in at_door],
        *[need(8, said) for said in answer["warnings"]],
    ]
    return {
        **plate(answer, kind, [headline, *lead], f"I read: {answer['as_read']}.", unsure, more),
        "guess": unsure + at_door,
        "picture": _picture(answer, place),
        "sections": _sections(answer, place),
        "open": 3 if answer["ask_first"] else 2,
        "legend": legend(list(answer["standing"].values())),
    }


def _unfixed(kind: str, answer: dict[str, Any], place: dict[str, Any]) -> str:
    """Why it may pay though nobody should mend it: what it brings as it stands."""
    brings = answer["if_not_fixed"]
    if kind != "pass" and down(brings) > 0:
        return f"Don't fix it: sold as it is or for parts it brings {money(brings, place)}."
    return f"Not worth fixing at {money(place['hour_worth'], place)} an hour."


def decision(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """[kind, headline]: the edge of the plate, and one or two sentences."""
    most, theirs = answer["pay_up_to"], answer["their_price"]
    advice = answer["advice"]
    if "their_price" in waits(answer) and theirs is None:
        return ["if", f"NO PRICE UNDERSTOOD. {_would_do(most, place)}; {what(answer)}"]
    if advice == HAUL and most < 0:
        return ["go", f"GO GET IT while they pay you {money(-down(most), place)} or more."]
    if advice == HAUL:
        start = ""
        if theirs is None or theirs > 0:
            first = answer["start_at"]
            start = f" Offer {'nothing' if first < 1 else money(first, place)} first;"
        pay = "pay" if start else " Pay"
        begin = f"GO GET IT.{start}{' ' if start else ''}{pay}"
        return ["go", f"{begin} up to {most_to_pay(most, place)}."]
    if advice == IF_FREE:
        return ["if", f"ONLY IF FREE: {reason(answer)}."]
    if advice == IF_PAID:
        return ["pass", f"PASS unless they pay you {money(-down(most), place)}: {reason(answer)}."]
    if most >= 5 and theirs is not None:
        no_more = f"Pay up to {most_to_pay(most, place)}, no more."
        return ["pass", f"PASS at {money(theirs, place)}. {no_more}"]
    return ["pass", f"PASS: {reason(answer)}."]


def _would_do(most: float, place: dict[str, Any]) -> str:
    """Which price would do, where none was understood."""
    if down(most) > 0:
        return f"Up to {most_to_pay(most, place)} would do"
    if down(most) == 0:
        return "Worth it only for free"
    return f"Worth it only if they pay you {money(-down(most), place)}"


def waits(answer: dict[str, Any]) -> list[str]:
    """The fields whose number was said and not understood."""
    if "heard" in answer and "waits" in answer["heard"]:
        return list(answer["heard"]["waits"])
    return []


def what(answer: dict[str, Any]) -> str:
    """The question that waits: is the number that was said the price?"""
    said = open_said(answer, "their_price")
    return f'"{said}": is that the price?' if said != "" else "what do they want for it?"


def reason(answer: dict[str, Any]) -> str:
    """Why it pays so little: what costs most of it."""
    if answer["free_only"]:
        return "see the danger above"
    if answer["fix_chance"] < 0.5:
        return "too seldom fixed"
    worst, why = 0.0, "it brings too little"
    for one in answer["because"]:
        if one["term"] in REASONS and one["amount"] < worst:
            worst, why = one["amount"], REASONS[one["term"]]
    return why


def _at_price(answer: dict[str, Any], place: dict[str, Any]) -> str:
    """What is left at their price, per hour beside what the person wants."""
    theirs, gain = answer["their_price"], answer["expected_gain"]
    paid = answer["paid_assumed"] if theirs is None else theirs
    if paid == 0:
        at = "For free"
    elif paid < 0:
        at = f"With their {money(-paid, place)}"
    else:
        at = f"At {money(paid, place)}"
    if gain < 0:
        return f"{at} you lose about {limit(-gain, place)}."
    if answer["return_per_hour"] < 0:
        return f"{at} you keep {limit(gain, place)}, less than storing it costs."
    if answer["hours"] <= 0:
        return f"{at} you keep {limit(gain, place)}."
    rate = f"{money(answer['return_per_hour'], place)} an hour after storage"
    return f"{at} you keep {limit(gain, place)}, {rate}{_hour(answer, place)}."


def _hour(answer: dict[str, Any], place: dict[str, Any]) -> str:
    """What an hour spent on it must bring at least, where it does not."""
    if answer["return_per_hour"] >= place["hour_worth"]:
        return ""
    least = money(place["hour_worth"], place)
    if place["hour_worth"] == place["hourly_target"]:
        return f"; you want {least}"
    return f" ({least} elsewhere)"


def _sells(answer: dict[str, Any], place: dict[str, Any]) -> str:
    sold = answer["price"]
    fix = f"you fix {percent(answer['fix_chance'])}."
    if sold["low"] == sold["high"]:
        return f"Fixed, it sells for {limit(sold['median'], place)}; {fix}"
    most = f"most sell for {spread(sold['low'], sold['high'], place)}"
    return f"Fixed: {limit(sold['median'], place)}, {most}; {fix}"


def _first_question(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """The question worth most, with the answers that leave most and least to pay; or which kind."""
    if len(answer["by_kind"]) > 1:
        return _by_kind(answer, place)
    said = []
    for one in answer["ask_first"][0:1]:
        ranked = ranked_answers(one)
        ends = [f"{told['answer']}: {may_pay(told['pay_up_to'], place)}" for told in ranked]
        if len(ends) > 1:
            ends = [ends[0], ends[len(ends) - 1]]
        said.append(f"Ask first: {one['question']} {'; '.join(ends)}.")
    return said


def _by_kind(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """The limit of each kind that the word leaves open; the word that all end with said once."""
    ends = [one["type"].split(" ")[-1] for one in answer["by_kind"]]
    same = len([end for end in ends if end == ends[0]]) == len(ends)
    limits = []
    for one in answer["by_kind"]:
        name = one["type"]
        if same:
            name = " ".join(name.split(" ")[0:-1])
        paid = most_to_pay(one["pay_up_to"], place) if down(one["pay_up_to"]) > 0 else "pass"
        limits.append(f"{name} {paid}")
    payable = [one for one in answer["by_kind"] if down(one["pay_up_to"]) > 0]
    alike = len(payable) == 0 and answer["advice"] in ["pass", IF_PAID]
    return ["Pass, whichever kind it is."] if alike else [f"Which kind? {', '.join(limits)}."]


def ranked_answers(unknown: dict[str, Any]) -> list[dict[str, Any]]:
    """The answers, that which leaves most to pay first."""
    out: list[dict[str, Any]] = []
    for told in unknown["answers"]:
        at = 0
        while at < len(out) and out[at]["pay_up_to"] >= told["pay_up_to"]:
            at += 1
        out = [*out[0:at], told, *out[at:]]
    return out


def may_pay(most: float, place: dict[str, Any]) -> str:
    """What an answer leaves to pay."""
    return f"up to {most_to_pay(most, place)}" if down(most) > 0 else "pass"


def chances(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """How it may come out at that price."""
    wanted, chance = money(place["hourly_target"], place), percent(answer["chance_of_target"])
    lose = f"Chance you lose money: {percent(answer['chance_of_loss'])}."
    said = [f"{lose} Chance you make {wanted} an hour: {chance}."]
    curb, most = answer["at_curb_pay_up_to"], answer["pay_up_to"]
    before = answer["before_drive_pay_up_to"]
    if before < most:
        said.append(f"Before the drive it was up to {most_to_pay(before, place)}.")
    elif curb > 0 and curb > most + 1:
        said.append(f"Already there? Pay up to {most_to_pay(curb, place)}.")
    return said


def _picture(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    most, sold = answer["pay_up_to"], answer["price"]
    marks = [mark("disc", sold["median"], "sells for", limit(sold["median"], place))]
    if most < 0:
        marks.append(mark("ceiling", most, "they pay you", money(-down(most), place)))
    else:
        marks.append(mark("ceiling", most, "pay up to", most_to_pay(most, place)))
    theirs = answer["their_price"]
    if theirs is not None:
        marks.append(mark("square", theirs, "they want", money(theirs, place)))
    ends = [limit(sold["low"], place), limit(sold["high"], place)]
    return {"low": sold["low"], "high": sold["high"], "marks": marks, "ends": ends}


def _sections(answer: dict[str, Any], place: dict[str, Any]) -> list[dict[str, Any]]:
    sections = [facts(_numbers(answer, place)), text("chances", "", chances(answer, place))]
    if answer["ask_first"]:
        sections.append(ask_first(answer["ask_first"], place))
    sections += likely(answer["repairs"], place)
    if answer["by_year"]:
        rows = [
            [str(one["made"]), limit(one["price"], place), most_to_pay(one["pay_up_to"], place)]
            for one in answer["by_year"]
        ]
        heads = ["made", "sells for", "pay up to"]
        sections.append(table("by_year", "By the year it was made", heads, rows))
    hour = f"your hours at {money(place['hour_worth'], place)}"
    if not place["hour_told"]:
        hour += " (a guess)"
    terms = {**TERMS, "your hours": hour}
    because = [[terms.get(one["term"], one["term"]), one["amount"]] for one in answer["because"]]
    rows = added(because, down(answer["pay_up_to"]), "the most to pay", place)
    title = "What it brings, failures included"
    sections.append(table("why", title, ["term", "money"], rows))
    if "door_tests" in answer:
        tests = [_asked(one, place) for one in answer["door_tests"]]
        title = "Two minutes at the door"
        door = {"name": "door_tests", "title": title, "form": "answers", "rows": tests}
        sections.append(door)
    return sections + beside_sections(answer, place)


def ask_first(unknowns: list[dict[str, Any]], place: dict[str, Any]) -> dict[str, Any]:
    """The three questions worth most, each with what its answers leave to pay."""
    rows = [_asked(one, place) for one in unknowns[0:3]]
    return {"name": "ask_first", "title": "Ask them first", "form": "answers", "rows": rows}


def _asked(one: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """A question with all its answers; field and value say what asks again with one of them."""
    return {
        "question": sentence(one["question"]),
        "worth": f"knowing is worth {limit(one['worth'], place)}",
        "field": one["name"],
        "answers": [_press(told, place) for told in ranked_answers(one)],
    }


def _press(told: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    said = may_pay(told["pay_up_to"], place)
    return {"label": told["answer"], "said": said, "value": told["value"]}


def _numbers(answer: dict[str, Any], place: dict[str, Any]) -> list[list[str]]:
    """What the answer rests on, a row each."""
    sold, spent, standing = answer["price"], answer["costs"], answer["standing"]
    ends = f"most: {spread(sold['low'], sold['high'], place)}"
    sells = ends if sold["low"] < sold["high"] else ""
    most_parts = f"most: {spread(spent['parts_low'], spent['parts_high'], place)}"
    parts = most_parts if spent["parts_low"] < spent["parts_high"] else ""
    chance, own = percent(answer["fix_chance"]), own_fixed(answer["fixed_of"])
    rows = [
        ["Fixed, it sells for", limit(sold["median"], place), sells, standing["price"]],
        ["Chance you fix it", chance, own, standing["fix"]],
        ["Parts, if fixed", money(spent["parts_if_fixed"], place), parts, standing["parts"]],
    ]
    days = answer["days"]
    if days:
        most = f"most: {fixed(days['low'], 0)} to {fixed(days['high'], 0)}"
        rows.append(["Days to sell", fixed(days["median"], 0), most, standing["days"]])
    drive, bench = spent["drive_hours"] + spent["load_hours"], short(spent["bench_hours"], 1)
    work = f"drive {short(drive, 1)}, bench {bench}"
    work += f", clean and sell {short(spent['clean_sell_hours'], 1)}"
    if spent["comeback_hours"] >= 0.05:
        work += f", comebacks {short(spent['comeback_hours'], 1)}"
    rows.append(["Your time", hours(answer["hours"]), work, standing["hours"]])
    return rows
