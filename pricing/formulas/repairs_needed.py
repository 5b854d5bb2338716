"""Which repairs a fault turns out to need, and what the table says of each. Shares of the person's
own units, pooled: all types -> kind of appliance -> this type (Dirichlet-multinomial), with room
for a repair never seen under this fault ("something else")."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from pricing.formulas.faults import NO_FAULT, UNTOLD

ELSE = ""  # the repair that nobody has seen under this fault
# Units that "something else" counts for, against the units seen with this fault.
NEW_REPAIR_WEIGHT = 2.0
# Units that the wider group counts for, against those of the kind and of the type.
KIND_WEIGHT = 12.0
TYPE_WEIGHT = 20.0
MOST_REPAIRS = 8  # told apart; the rest go to "something else"
UNTOLD_WEIGHT = 20.0  # units that the table's shares count for, against the person's. Own judgement

# What a repair by its name says about the chance, by words in it: a low rank is the most that is
# assumed, a high one the least.
# Ranks: published repair studies of 11,000 European diagnoses find doors, brushes and foreign
# objects repaired most often, and bearings, drums and tubs, circulation pumps and electronics least
# (J. Cleaner Production 215:1112-1122, 2019). The figures are own judgement.
# Each: words, chance, expected money for parts where the name says more than the fault does; None
# keeps that of the fault. Common practice, from memory.
LOW_RANKS: list[tuple[list[str], float, float | None]] = [
    (["sealed system", "compressor replaced", "compressor", "refrigerant", "evaporator leak"],
        0.15, 150),
    (["bearing", "spider", "tub seal", "gearcase", "transmission", "drum replaced", "outer tub"],
        0.55, None),
    (["board", "electronic", "inverter", "touch panel", "circulation pump"], 0.72, 100),
]  # fmt: skip
HIGH_RANKS: list[tuple[list[str], float, float | None]] = [
    (
        [
            *("cleaned", "cleared", "leveled", "levelled", "tightened", "reset", "foreign object"),
            *("unclogged", "adjusted"),
        ],
        0.82,
        4,
    ),
    (["door", "latch", "brush", "handle", "knob", "hose", "lid switch"], 0.78, None),
]
# beside "compressor": the cheap part that starts it
NOT_LOW = ["relay", "start device", "start capacitor", "fan"]


def steps_of(repair: str) -> list[str]:
    """The steps of a repair: "belt; pump" -> ["belt", "pump"]."""
    return [step.strip() for step in repair.split(";") if step.strip() != ""]


def shares(
    seen: Mapping[str, float], of_kind: Mapping[str, float], of_type: Mapping[str, float]
) -> dict[str, float]:
    """Shares of the repairs under a fault, largest first, "something else" last; they sum to 1."""
    wider = _with_room(seen)
    for counts, weight in [(of_kind, KIND_WEIGHT), (of_type, TYPE_WEIGHT)]:
        wider = _narrowed(wider, counts, weight)
    return _largest(wider)


def counted(needs: Iterable[Any], kind_of: Callable[[str], str]) -> dict[str, dict[str, float]]:
    """Units by repair, under each fault, of a kind, and of a type. kind_of: the kind of a type."""
    tree: dict[str, dict[str, float]] = {}
    for (fault, type_name, repair), count in needs:
        for place in _places(fault, kind_of(type_name), type_name):
            counts = tree.setdefault(place, {})
            counts[repair] = counts.get(repair, 0.0) + count
    return tree


def shares_under(
    tree: Mapping[str, Mapping[str, float]], fault: str, kind: str, type_name: str
) -> dict[str, float]:
    """`shares` of a fault on a type, from the units of `counted`."""
    whole, of_kind, of_type = [tree.get(at, {}) for at in _places(fault, kind, type_name)]
    return shares(whole, of_kind, of_type)


def _places(fault: str, kind: str, type_name: str) -> list[str]:
    return [f"{fault}\n", f"{fault}\n{kind}\n", f"{fault}\n{kind}\n{type_name}"]


def k_of_n(fixed: Iterable[Any], fault: str, type_name: str) -> tuple[int, int, int]:
    """Own ended units of this fault on this type: fixed, all; and all on other types. Of an untold
    fault those of the type. fixed: fault and type -> ended, fixed."""
    untold = fault in ("", UNTOLD)
    own = [n for (what, kind), n in fixed if kind == type_name and (untold or what == fault)]
    near = [n for (what, kind), n in fixed if kind != type_name and what == fault and not untold]
    done, ended = sum([n[1] for n in own]), sum([n[0] for n in own])
    return int(done), int(ended), int(sum([n[0] for n in near]))


def _narrowed(
    wider: Mapping[str, float], counts: Mapping[str, float], weight: float
) -> dict[str, float]:
    n = sum(counts.values())
    return {
        repair: (counts.get(repair, 0.0) + weight * share) / (n + weight)
        for repair, share in wider.items()
    }


def found_shares(found: str, counts: Mapping[str, float]) -> dict[str, float]:
    """Shares of the repairs done where this was found; if never, the finding names the repair."""
    return _largest(_with_room(counts)) if len(counts) > 0 else {found: 1.0}


def _with_room(counts: Mapping[str, float]) -> dict[str, float]:
    total = sum(counts.values()) + NEW_REPAIR_WEIGHT
    given = {repair: count / total for repair, count in counts.items()}
    return {**given, ELSE: NEW_REPAIR_WEIGHT / total}


def _largest(found: Mapping[str, float]) -> dict[str, float]:
    named = sorted(
        [repair for repair in found if repair != ELSE], key=lambda repair: [-found[repair], repair]
    )
    kept = {repair: found[repair] for repair in named[:MOST_REPAIRS]}
    rest = found.get(ELSE, 0.0) + sum([found[repair] for repair in named[MOST_REPAIRS:]])
    return {**kept, ELSE: rest} if rest > 0 else kept


def ranked(repair: str, fix: float, parts: float) -> tuple[float, float]:
    """Starting chance to fix and expected parts of a repair: the fault's, bounded by its rank."""
    for step in steps_of(repair):
        name = step.lower()
        for words, cap, money in LOW_RANKS:
            if _one_in(words, name) and not _one_in(NOT_LOW, name):
                fix = min(fix, cap)
                parts = max(parts, 0.0 if money is None else money)
        for words, floor, money in HIGH_RANKS:
            if _one_in(words, name):
                fix = max(fix, floor)
                parts = parts if money is None else min(parts, money)
    return fix, parts


def _one_in(words: Sequence[str], text: str) -> bool:
    return any(word in text for word in words)


def untold_mix(
    base: Mapping[str, float],
    own: Sequence[tuple[str, float]],
    row_for: Callable[[str], tuple[Any, bool]],
) -> list[tuple[str, float]]:
    """The faults that an untold one may have, with their shares, without works, dangers, blanks.
    base: the table's shares; own: ended units by fault; row_for: row of a fault, is it known."""
    weight = {fault: UNTOLD_WEIGHT * share for fault, share in base.items()}
    word = {fault: fault for fault in base}
    most = dict.fromkeys(base, 0.0)
    for fault, n in own:
        row, known = row_for(fault)
        if n > 0 and row.fault != UNTOLD and row.family != "danger" and row.fault not in NO_FAULT:
            name = row.fault if known else fault
            weight[name] = weight.get(name, 0.0) + n
            if n > most.get(name, 0.0):
                word[name] = fault
                most[name] = n
    whole = sum(weight.values())
    return [(word[name], part / whole) for name, part in weight.items()]
