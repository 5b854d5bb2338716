"""What an answer holds beside its decision: ads that were seen, a test at the door, a promise."""

from typing import Any

from pricing.wording.plain import count, day, limit, money, percent, sentence, table, text


def ads_lines(answer: dict[str, Any]) -> list[str]:
    """How many ads stand beside the own sales."""
    return [_of_ads(answer["ads"])] if "ads" in answer else []


def door_lines(answer: dict[str, Any]) -> list[str]:
    """The two-minute question that is worth most."""
    if "door_tests" not in answer:
        return []
    return [f"Ask at the door: {answer['door_tests'][0]['question']}"]


def _of_ads(ads: dict[str, Any]) -> str:
    """The ads of the type, or of all types, beside the own sales of the type."""
    own = count(ads["own_sales"], "own sale")
    if ads["seen"] > 0:
        return f"{count(ads['seen'], 'ad')} you saw, {own}."
    return f"{count(ads['seen_all'], 'ad')} of other kinds you saw, {own}."


def beside_sections(answer: dict[str, Any], place: dict[str, Any]) -> list[dict[str, Any]]:
    """Tables behind --more."""
    out = []
    if "ads" in answer and len(answer["ads"]["nearest"]) > 0:
        out += _ads(answer, place)
    if "warranty" in answer:
        out.append(_warranty(answer["warranty"], place))
    return out


def _warranty(told: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    rows = [
        ["come back", percent(told["share"])],
        ["30 days", money(told["days_30"], place)],
        ["90 days", money(told["days_90"], place)],
        ["one that comes back", money(told["one"], place)],
    ]
    title = "What a written promise costs you"
    return table("warranty", title, ["promise", "money"], rows)


def _ads(answer: dict[str, Any], place: dict[str, Any]) -> list[dict[str, Any]]:
    rows = [
        [one["said"], day(one["seen"]), money(one["ask"], place), limit(one["says"], place)]
        for one in answer["ads"]["nearest"]
    ]
    heads = ["ad", "seen", "asked", "= this one sold"]
    over = percent(answer["ads"]["over"])
    return [
        table("ads", "Ads you saw that count most", heads, rows),
        text("ads_note", "", [sentence(f"asks stand about {over} over what units bring here")]),
    ]
