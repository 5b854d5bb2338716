"""Stop rules in words: what they did, what they would save."""

from typing import Any

from pricing.wording.plain import count, hours, money


def view(rules: dict[str, Any], place: dict[str, Any]) -> list[str]:
    """A line a rule: the person's own first, then those worth taking over."""
    own, new = enumerate(rules["own"], 1), enumerate(rules["proposed"], 1)
    said = [f"YOUR RULE {n}: {did(one, place)}" for n, one in own] or ["You have no rule yet."]
    worth = [f"WORTH TAKING OVER {n}: {proposed(one, place)}" for n, one in new]
    said += worth or ["No rule can be told from chance."]
    if rules["proposed"]:
        said.append("Take one over: pricing rule add 1")
    return said


def did(one: dict[str, Any], place: dict[str, Any]) -> str:
    """What a rule did since it was taken over."""
    text = f"{one['words']}. Before it {count(round(one['before']), 'unit')} a year; since"
    if one["n"] == 0:
        return f"{text} none."
    brought = f"{money(one['money'], place)} in {hours(round(one['hours']))}"
    return f"{text} {count(one['n'], 'unit')} against it: {brought}."


def proposed(one: dict[str, Any], place: dict[str, Any]) -> str:
    """What a rule would save a year, and how it did in months that the search did not see."""
    a_year = one["a_year"]
    saves = f"{money(a_year['low'], place)} to {money(a_year['high'], place)}"
    luck = f"luck and your {hours(round(a_year['hours']))} counted ({count(one['n'], 'unit')})"
    text = f"{one['words']}: a year to come would save {saves}, {luck}."
    if one["promised"] is None:
        return f"{text} Not seen before the last {count(one['months'], 'month')}."
    low, high = money(one["promised"]["low"], place), money(one["promised"]["high"], place)
    ago = f"{text} Found {count(one['months'], 'month')} ago"
    saved = f"would have saved {money(one['saved'], place)}"
    return f"{ago} it promised {low} to {high} for them and {saved}."
