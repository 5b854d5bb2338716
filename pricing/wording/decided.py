"""What the views of all answers share; an answer where a danger decides: the warning, what to do,
and no figure beside it."""

from typing import Any

from pricing.wording.plain import need, reminders, sentence

# By moment: what stands in the place of the money.
HEADLINES = {
    "offer": {
        "leave": "LEAVE IT.",
        "licensed": "LEAVE IT, unless a licensed person does the work.",
        "scrap_only": "SCRAP ONLY. Take it only if they pay you.",
        "mend_first": "LEAVE IT.",
    },
    "bench": {
        "leave": "STOP. Leave it.",
        "licensed": "STOP. Licensed person only.",
        "scrap_only": "STOP. Scrap only.",
        "mend_first": "STOP until that is mended.",
    },
    "ask": {
        "leave": "DON'T SELL IT.",
        "licensed": "DON'T SELL IT until a licensed person has put it right.",
        "scrap_only": "DON'T SELL IT. Scrap only.",
        "mend_first": "DON'T SELL IT until that is mended.",
    },
}


def plate(
    answer: dict[str, Any],
    kind: str,
    told: list[str],
    read: str,
    unsure: list[str],
    more: list[Any],
) -> dict[str, Any]:
    """The view of an answer, which every surface shows, without picture and tables.

    kind: go, if or pass; told: the headline, then the lead; more: what the first screen says
    between the lead and the cautions, each with its need.
    """
    cautions = [said for said in answer["cautions"] if said not in answer["dangers"]]
    return {
        "kind": kind,
        "headline": told[0],
        "lead": told[1:],
        "dangers": answer["dangers"],
        "read": read,
        "guess": unsure,
        "short": [
            *[need(8, said) for said in unsure],
            *[need(7, said) for said in told[1:]],
            *more,
            *reminders(cautions),
            need(8, read),
        ],
        "picture": None,
        "sections": [],
        "open": 0,
        "cautions": cautions,
        "warnings": [sentence(said) for said in answer["warnings"]],
        "legend": [],
    }


def stopped(answer: dict[str, Any], moment: str) -> dict[str, Any]:
    """The view of an answer whose `decision` is not "": the dangers, the headline, the cautions."""
    read = f"I read: {answer['as_read']}."
    view = plate(answer, "pass", [HEADLINES[moment][answer["decision"]]], read, [], [])
    view["short"] = [*[need(8, said) for said in view["cautions"]], need(9, read)]
    return view


def open_said(answer: dict[str, Any], field: str) -> str:
    """The words of a number whose meaning stayed open, where the field waits for it; "" else."""
    heard = answer.get("heard", {})
    if field not in heard.get("waits", []):
        return ""
    left = [said for said in heard.get("not_understood", []) if has_digit(said)]
    bare = [said for said in left if len([c for c in said if c.lower() != c.upper()]) == 0]
    ranked = [*bare, *left]  # a price is a number alone before it is one among letters
    return ranked[0] if len(ranked) > 0 else ""


def has_digit(said: str) -> bool:
    """Whether a number stands in the words."""
    return len([c for c in said if c in "0123456789"]) > 0
