"""On the bench: the ways on from here, side by side, and when to quit looking."""

from typing import Any

from pricing.wording import decided, plain

GO_ON = "go on"
HEADLINES = {
    GO_ON: "GO ON and fix it.", "sell as-is": "SELL IT AS-IS.", "part out": "PART IT OUT.",
    "scrap": "SCRAP IT.",
}  # fmt: skip


def view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `bench --json` as sentences and rows."""
    if answer["decision"]:
        return decided.stopped(answer, "bench")
    lead = [*_why(answer, place), *_quit(answer)]
    headline = HEADLINES.get(answer["advice"], plain.sentence(answer["advice"]))
    unknown = decided.open_said(answer, "parts")
    if unknown != "":
        lead = [f"Without it: {headline}", *lead]
        headline = f'WHAT IS "{unknown}": parts still to buy?'
    fix, chance = answer["standing"]["fix"], plain.percent(answer["fix_chance"])
    kind = "go" if answer["advice"] == GO_ON and unknown == "" else "if"
    read, unsure = f"I read: {answer['as_read']}.", plain.guess(answer["standing"]["price"])
    own = f"{plain.own_fixed(answer['fixed_of'])}; {plain.whose(fix)}"
    more = [
        plain.need(4, f"You fix {chance} from here ({own})."),
        *[plain.need(8, said) for said in answer["warnings"]],
    ]
    return {
        **decided.plate(answer, kind, [headline, *lead], read, unsure, more),
        "sections": _sections(answer, place),
        "open": 2,
        "legend": plain.legend([way["standing"] for way in answer["ways"]]),
    }


def _why(answer: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """What the best way still brings, beside the next best."""
    ways = answer["ways"]
    wanted = plain.money(place["hour_worth"], place)
    said = f"It still brings {plain.limit(ways[0]['worth'], place)} after {wanted} an hour"
    if len(ways) < 2:
        return [f"{said}."]
    return [f"{said}; next best, {ways[1]['name']}: {plain.limit(ways[1]['worth'], place)}."]


def _quit(answer: dict[str, Any]) -> list[str]:
    """When to quit looking, where what is wrong is not known yet."""
    unit, minutes = answer["unit"], answer["quit_after_minutes"]
    if answer["advice"] != GO_ON or unit.get("repair") or unit.get("found") or minutes is None:
        return []
    if minutes >= 120:
        return [f"Not found? Quit looking after {plain.hours(minutes / 60)}."]
    return [f"Not found? Quit looking after {max(5, 5 * round(minutes / 5))} min."]


def _sections(answer: dict[str, Any], place: dict[str, Any]) -> list[dict[str, Any]]:
    wanted = plain.money(place["hour_worth"], place)
    top = max([way["worth"] for way in answer["ways"]] + [1.0])
    ways = {
        "name": "ways",
        "title": "What each way still brings you",
        "form": "table",
        "heads": ["way", "brings", "hours", "per hour", f"after {wanted}/h", "whose"],
        "rows": [
            [
                way["name"],
                plain.limit(way["money"], place),
                plain.fixed(way["hours"], 1),
                "–" if way["per_hour"] is None else plain.money(way["per_hour"], place),
                plain.limit(way["worth"], place),
                way["standing"],
            ]
            for way in answer["ways"]
        ],
        # bars begin at zero: a way that loses money has none
        "standing": True,  # the last column says whose the figure is
        "shares": [max(way["worth"], 0.0) / top for way in answer["ways"]],
    }
    standing = answer["standing"]
    chance, own = plain.percent(answer["fix_chance"]), plain.own_fixed(answer["fixed_of"])
    rows = [
        ["Chance you fix it from here", chance, own, standing["fix"]],
        ["Fixed, it sells for", plain.limit(answer["price"], place), "", standing["price"]],
    ]
    sections = [ways, plain.facts(rows)]
    spent = _spent(answer["spent"], place)
    if spent:
        sections.append(plain.text("spent", "", [spent]))
    if not answer["unit"].get("repair"):
        sections += plain.likely(answer["repairs"], place)
    return sections


def _spent(spent: dict[str, Any], place: dict[str, Any]) -> str:
    said = [] if spent["money"] is None else [plain.money(spent["money"], place)]
    if spent["hours"] is not None:
        said.append(plain.hours(spent["hours"]))
    if not said:
        return ""
    return f"Already spent: {plain.names(said)}. Not counted: it's gone either way."
