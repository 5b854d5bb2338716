"""What was not known and what was taken for it, one sentence each."""


def fault(told: str, near: list[str]) -> str:
    """A fault that no row of the table names."""
    known = f"; nearest known: {', '.join(near)}" if len(near) > 0 else ""
    return f'I do not know the fault "{told}"{known}. Answered as "not known".'


def type_of_offer(name: str, guess: str | None) -> str:
    """A type with no figures and no sale."""
    meant = "." if guess is None else f". Did you mean {guess}?"
    return f'I have no figures for "{name}": a wide guess{meant}'


NO_FAULT_TOLD = "No fault was told: answered as not known."


def type_of_ask(name: str, guess: str | None) -> str:
    """The same where it is asked what to ask."""
    meant = "" if guess is None else f"; did you mean {guess}?"
    return f"no {name} in your record nor in the starting figures: the range is wide{meant}"


def no_sale_yet(name: str) -> str:
    """A type that only the starting figures know."""
    return f"no sale of a {name} of yours yet: the range is wide"


def person(name: str, people: list[str], named: list[str], guess: str | None) -> list[str]:
    """One sentence where the question is asked as somebody whose sales the fit does not know, else
    none. people: those it tells apart; named: all in the record."""
    if name == "" or name in people:
        return []
    if len(people) > 0 and name in named:
        return [f"no sale of {name} tells yet: the group's prices, less sure"]
    if name in named:  # a record of one: there is no group
        return []
    whose = "the numbers of the whole record"
    if len(people) > 0:
        whose = "the group's numbers, less sure"
    meant = "" if guess is None else f"; did you mean {guess}?"
    return [f"nobody named {name} in the record yet: {whose}{meant}"]
