"""Who asks, in a record that several people keep together: what is said where the fit knows no
prices of that person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pricing.basis.problems import nearest
from pricing.model.price.member import told_apart

if TYPE_CHECKING:
    from pricing.basis.question import Question
    from pricing.model.saved import Saved


def not_known(question: Question, numbers: Saved) -> list[str]:
    """One sentence where the question is asked as somebody whose sales the fit does not know, else
    none."""
    name = str(question.unit.get("owner") or "")
    people, named = told_apart(numbers.price), numbers.words.get("owner", [])
    if not name or name in people or "price" in question.known:
        return []
    if people and name in named:
        return [f"no sale of {name} tells yet: the group's prices, less sure"]
    if name in named:  # a record of one: there is no group
        return []
    guess = nearest(name, [*people, *named])
    whose = "the group's numbers, less sure" if people else "the numbers of the whole record"
    return [
        f"nobody named {name} in the record yet: {whose}"
        + (f"; did you mean {guess}?" if guess else "")
    ]
