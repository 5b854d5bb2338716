"""Stop rules in words: what they did, what they would save."""

from typing import Any

from pricing.wording.plain import count, hours, money


def view(rules: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """A line a rule: the person's own first, then those worth taking over."""
    said = [
        f"YOUR RULE {number}: {did(one, place)}" for number, one in enumerate(rules["own"], 1)
    ] or ["You have no rule yet."]
    said += [
        f"WORTH TAKING OVER {number}: {proposed(one, place)}"
        for number, one in enumerate(rules["proposed"], 1)
    ] or ["No rule can be told from chance."]
    if rules["proposed"]:
        said.append("Take one over: pricing rule add 1")
    return said


def did(one: dict[str, Any], place: dict[str, Any]) -> str:
    """What a rule did since it was taken over."""
    text = f"{one['words']}. Before it {count(round(one['before']), 'unit')} a year; since"
    if one["n"] == 0:
        return f"{text} none."
    return (
        f"{text} {count(one['n'], 'unit')} against it: {money(one['money'], place)} in"
        f" {hours(round(one['hours']))}."
    )


def proposed(one: dict[str, Any], place: dict[str, Any]) -> str:
    """What a rule would save a year, and how it did in months that the search did not see."""
    a_year = one["a_year"]
    text = (
        f"{one['words']}: a year to come would save {money(a_year['low'], place)} to"
        f" {money(a_year['high'], place)}, luck and your {hours(round(a_year['hours']))} counted"
        f" ({count(one['n'], 'unit')})."
    )
    if one["promised"] is None:
        return f"{text} Not seen before the last {count(one['months'], 'month')}."
    low, high = money(one["promised"]["low"], place), money(one["promised"]["high"], place)
    return (
        f"{text} Found {count(one['months'], 'month')} ago it promised {low} to {high} for them and"
        f" would have saved {money(one['saved'], place)}."
    )
