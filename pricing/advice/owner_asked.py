"""Who asks, in a record of several people: what is said where their prices are not known."""

from pricing.basis.question import Question
from pricing.formulas.nearest_word import nearest
from pricing.model.price.member import told_apart
from pricing.model.saved import Saved
from pricing.wording.unknown_words import person


def not_known(question: Question, numbers: Saved) -> list[str]:
    """One sentence where somebody asks whose sales the fit does not know, else none."""
    name = str(question.unit.get("owner") or "")
    people, named = list(told_apart(numbers.price)), list(numbers.words.get("owner", []))
    if "price" in question.known:
        return []
    return person(name, people, named, nearest(name, [*people, *named]))
