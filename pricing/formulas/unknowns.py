"""What is not told of a unit and its owner can tell, each with the answers that are likely: those
the person heard before, over labelled starting shares."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import Any

from pricing.formulas.faults import qualifier_fits

MOST_ANSWERS = 6
LEAST_WORTH = 0.5  # money: an answer worth less is not worth the breath
OWN_PLAN = ("type", "made")  # kinds and years far apart are asked for in ways far apart
START_WEIGHT = 4.0  # units that the starting shares of ages and conditions count for
# Of the units on offer that have a feature, before any was heard. Own judgement.
FEATURE_SHARE = 0.25
# Years, in five equal parts of the units on offer. Own judgement.
AGES_HEARD = (3.0, 6.0, 9.0, 12.0, 16.0)
# Of the units on offer. Own judgement.
CONDITIONS_HEARD = {"rough": 0.10, "fair": 0.30, "good": 0.45, "like new": 0.15}


def value_of_answers(worths: Sequence[float], chances: Sequence[float], price: float) -> float:
    """Value of hearing the answer before deciding, money. worths: limit at each answer; chances:
    sum 1.

    Two answers, as likely, worth 100 and -60 at a price of 0: without asking 20, asked first 50.

    >>> value_of_answers([100.0, -60.0], [0.5, 0.5], 0.0)
    30.0
    """
    gains = [chances[k] * (worths[k] - price) for k in range(len(chances))]
    return sum([gain for gain in gains if gain > 0]) - max(0.0, sum(gains))


def unknowns(
    unit: Mapping[str, Any],
    made: Sequence[tuple[int, float | None]],
    heard: Mapping[str, Mapping[str, float]],
    family: str,
    kinds: Mapping[str, float],
    faults: Callable[[], Any],
    named: Callable[[], Any],
) -> list[Any]:
    """Name of the field, question as said on the phone, and answers of each thing left blank. An
    answer: as said, its chance (they sum to 1), the columns it fills, what the field then holds.

    made: years that it may be of, with its age then; heard: units by word, by column; kinds: usual
    shares of what an everyday name may mean; faults, named: what may be wrong, and the repairs that
    the told fault may need.
    """
    kind = unit.get("type") or ""
    likely = [(name, kinds[name]) for name in list(kinds)[:MOST_ANSWERS]]
    found: list[Any] = [("type", f"which kind of {kind}?", _words("type", _shares(likely)))]
    if len(made) > 1:
        years = [(f"{year}", 1 / len(made), {"age": age}, f"{year}") for year, age in made]
        found.append(("made", "which year was it made?", years))
    elif unit.get("age") is None:
        each = ages_heard(heard.get("age", {}))
        ages = [(f"{age:g} yr", chance, {"age": age}, f"{age:g}") for age, chance in each]
        found.append(("age", "how old is it?", ages))
    if unit.get("condition") is None:
        told = heard.get("condition", {})
        start = CONDITIONS_HEARD
        grades = [(name, told.get(name, 0.0) + START_WEIGHT * start[name]) for name in start]
        found.append(("condition", "how does it look?", _words("condition", _shares(grades))))
    if not unit.get("fault"):
        found.append(("fault", "what does it do, or not do?", _words("fault", faults())))
    elif not unit.get("found") and not unit.get("repair"):
        needs = [(name, chance) for name, chance in named() if name != ""]
        needs = _shares(needs) if len(needs) > 1 else []
        found.append(("found", "what exactly is wrong?", _words("repair", needs)))
    if not unit.get("maker"):
        makers = _words("maker", _top(heard.get("maker", {})))
        found.append(("maker", "what make is it?", makers if len(makers) > 1 else []))
    if not unit.get("features"):
        for name, share in _features(heard.get(f"features:{family}", {})):
            has = [("yes", share, {"features": name}, name), ("no", 1 - share, {}, "")]
            found.append(("features", f"does it have {name}?", has))
    return [one for one in found if len(one[2]) > 0]


def _words(column: str, answers: Sequence[tuple[str, float]]) -> list[Any]:
    return [(word, chance, {column: word}, word) for word, chance in answers]


def _shares(counts: Sequence[tuple[str, float]]) -> list[tuple[str, float]]:
    total = sum([count for _, count in counts])
    return [(word, count / total) for word, count in counts]


def _most(counts: Mapping[str, float], most: int) -> list[tuple[str, float]]:
    words = sorted([word for word in counts if word != ""], key=lambda word: [-counts[word], word])
    return [(word, counts[word]) for word in words[:most]]


def _top(counts: Mapping[str, float]) -> list[tuple[str, float]]:
    return _shares(_most(counts, MOST_ANSWERS))


def ages_heard(heard: Mapping[str, float]) -> list[tuple[float, float]]:
    """Five ages, a fifth of the units each: the middle of each fifth of those heard, over the
    starting ages."""
    start = {f"{age:g}": START_WEIGHT / len(AGES_HEARD) for age in AGES_HEARD}
    counts = {name: heard.get(name, 0.0) + start.get(name, 0.0) for name in heard}
    counts = {**start, **counts}
    ages = sorted([float(name) for name in counts])
    reached = [0.0]
    for age in ages:
        reached.append(reached[-1] + counts[f"{age:g}"])
    middles: list[float] = []
    for level in (0.1, 0.3, 0.5, 0.7, 0.9):
        wanted = level * reached[-1]
        middles.append(next(ages[i] for i in range(len(ages)) if reached[i + 1] >= wanted))
    first = [i for i in range(5) if i == 0 or middles[i] != middles[i - 1]]
    return [(middles[i], middles.count(middles[i]) / 5) for i in first]


def faults_of(
    kind: str,
    rows: Sequence[Any],
    fixed: Iterable[Any],
    kinds_of: Callable[[str], Sequence[str]],
    of_any: Collection[str],
) -> list[tuple[str, float]]:
    """Faults of this kind of appliance: those ended on this type and its like, over the rows of the
    starting table. fixed: fault and type, and units that ended; kinds_of: the families of a type;
    of_any: faults that every kind has."""
    kinds = kinds_of(kind)
    counts = {
        row.fault: 1.0
        for row in rows
        if row.family in kinds and row.family != "any" and row.fault not in of_any
    }
    for (fault, other), (n, _) in fixed:
        if fault != "" and kinds_of(other) == kinds:
            counts[fault] = counts.get(fault, 0.0) + n
    return _top({fault: counts[fault] for fault in counts if qualifier_fits(fault, kind)})


def _features(heard: Mapping[str, float]) -> list[tuple[str, float]]:
    """The three features heard most in this family, with their share of its units."""
    n = heard.get("", 0.0)
    return [(word, (count + 2 * FEATURE_SHARE) / (n + 2)) for word, count in _most(heard, 3)]
