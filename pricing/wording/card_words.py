"""A tag to tape on and the text of an ad: only what the record holds."""

from typing import Any

from pricing.wording.decided import HEADLINES
from pricing.wording.plain import count, money, sentence


def view(answer: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """The answer of `card --json`: price, the tag's lines, the ad, and what is missing."""
    price = "" if answer["ask"] is None else money(answer["ask"], place)
    done, tests = ", ".join(answer["done"]), ", ".join(answer["tests"])
    promise = f"{count(answer['promise'], 'day')} of promise" if answer["promise"] else ""
    lines = list(answer["facts"])
    lines += [f"done: {done}"] if done else []
    lines += list(answer["tests"])
    lines += [promise] if promise else []
    said = [f"{answer['title']}, {price}" if price else answer["title"]]
    said += ["; ".join(answer["facts"])] if answer["facts"] else []
    said += [f"Done: {done}"] if done else []
    said += [f"Tested: {tests}"] if tests else []
    said += [promise] if promise else []
    notes = list(answer["dangers"])
    if answer["decision"]:
        said = [HEADLINES["ask"][answer["decision"]]]
        lines = [HEADLINES["ask"][answer["decision"]], *lines]
    if answer["recall"] is None:
        notes.append("Recall check: not done yet. Do it before you sell it.")
    if not tests:
        notes.append("No test is on record: write what you ran in its note.")
    if not answer["finished"]:
        notes.append("Still in work: the repair is left out until it is listed.")
    return {
        "number": f"No. {answer['unit']}",
        "title": sentence(answer["title"])[0 : len(answer["title"])],
        "price": price,
        "lines": lines,
        "ad": " ".join([sentence(part) for part in said]),
        "notes": notes,
    }
