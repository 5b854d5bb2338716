"""The words of the person's own record and settings, as the reader of plain words looks them up."""

from collections.abc import Collection, Iterable, Mapping
from functools import cache
from typing import Any

from pricing.basis import assumed, words
from pricing.basis.settings import Settings
from pricing.model.saved import Saved
from pricing.words.tables import load

Words = Mapping[str, Collection[str]]  # column -> words that the record holds


def known_words(numbers: Saved) -> dict[str, list[str]]:
    """Words that the record holds, by column, for reading a question in words."""
    model = numbers.repair
    return {
        "type": sorted({type_name for _, type_name in model.fixed_of if type_name}),
        "fault": sorted({fault for fault, _ in model.fixed_of if fault}),
        "repair": sorted(
            {step for _, _, repair in model.needs for step in repair.split("; ") if step}
        ),
        "found": sorted({found for found, _ in model.found_needs}),
    } | {
        name: list(known)
        for name, known in numbers.words.items()
        if name not in ("type", "fault", "repair", "found")
    }


def own_words(settings: Settings, known: Words) -> dict[str, dict[str, Any]]:
    """The person's own words as the reader looks them up: {kind: {words as said: our name}}."""

    def keyed(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
        standard = _standard()
        told = [(said, name) for said, name in pairs if said and name]
        own = [(said, name) for said, name in told if said != name or name not in standard]
        return {words.squash(said): name for said, name in own}

    def same(*names: str) -> list[tuple[str, str]]:
        return [(name, name) for name in names]

    types = same(*known.get("type", ()), *settings.assumed_types, *settings.usual_price)
    faults = same(*known.get("fault", ()), *settings.assumed_faults)
    repairs = [name for name in known.get("repair", ()) if name not in _standard()]
    mine = keyed([*types, *settings.words.get("types", {}).items()])
    return {
        "types": mine,
        "by_words": _by_words(mine),
        "families": {name: families_of(name, settings) for name in mine.values()},
        "faults": keyed([*faults, *settings.words.get("faults", {}).items()]),
        "makers": keyed(same(*known.get("maker", ()))),
        "repairs": keyed(same(*repairs)),
        "features": keyed(same(*known.get("features", ()))),
    }


def _by_words(types: Mapping[str, str]) -> dict[str, str]:
    """A type's name by its words in any order, and by each word that no other own type has."""
    found = {" ".join(sorted(said.split())): name for said, name in types.items()}
    words_of = {said: set(said.split()) for said in types}
    for said, name in types.items():
        others = {word for other in types if types[other] != name for word in words_of[other]}
        found |= {word: name for word in words_of[said] - others if len(word) > 3}
    return found


def families_of(type_name: str, settings: Settings) -> list[str]:
    """The families of faults that a type of one's own can have; [] where its name does not say."""
    found = assumed.fault_families(type_name, words.family_of(type_name, settings))
    return [family for family in found if family != "any"]


@cache
def _standard() -> frozenset[str]:
    """Names that the tables hold, or a part of one ("no heat")."""
    names = {str(name[2]) for name in load("said")["names"]}
    return frozenset(names | {name.split(" (")[0] for name in names})
