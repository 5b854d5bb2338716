"""`compare` as a person reads it: what pays best and how sure that is, then the table, then where
the hours go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from pricing.pages.text import WIDTH, chance, columns, money, width_of, wrap
from pricing.quarter.compare import OWN_RANGE_FROM, Comparison, Group
from pricing.quarter.groups import NOT_WRITTEN
from pricing.quarter.mix import LEAST, REACH, Mix

NAMES = {
    "type": "type",
    "family": "kind of appliance",
    "maker": "maker",
    "tier": "grade of maker",
    "fault": "fault as told",
    "found": "what it was",
    "repair": "repair",
    "got_from": "where it came from",
    "sold_where": "where it sold",
    "paid": "price paid",
    "age": "age",
    "condition": "condition",
    "miles": "distance",
    "features": "features",
    "quarter": "quarter",
}
MOST_ROWS, MOST_MIX = 8, 6
TASK_WORDS = {
    "drive": "drive",
    "diagnose": "find",
    "repair": "repair",
    "clean": "clean",
    "sell": "sell",
    "not split": "other",
    "comebacks": "back",
}


def compare_text(
    comparison: Comparison, currency: str, mix: Mix | None = None, asked_mix: bool = False
) -> list[str]:
    """At most 30 lines of at most 60 columns; a mix that was asked for takes the place of the
    hours."""
    if comparison.best is None:
        return _nothing(comparison)
    if asked_mix:
        return [
            *wrap(verdict(comparison, currency)),
            "",
            *_table(comparison, currency, MOST_MIX),
            "",
            *mix_text(mix, comparison, currency),
        ]
    lines = [*wrap(verdict(comparison, currency)), ""]
    lines += wrap(_overall(comparison, currency))
    lines += ["", *_table(comparison, currency)]
    lines += ["", *_hours(comparison)]
    lines += _left_out(comparison, currency)
    return lines


def mix_text(mix: Mix | None, comparison: Comparison, currency: str) -> list[str]:
    """The best mix for a week, against the pace so far, and what it rests on."""
    if mix is None:
        return wrap(
            f"A BEST MIX needs {LEAST} ended units with days and hours; you have {comparison.n}."
        )
    lines = wrap(
        f"WITH {mix.hours:g} HOURS A WEEK AND {mix.spots:g} SPOTS the best mix makes about"
        f" {money(mix.profit, currency)} a week; as so far it is {money(mix.profit_now, currency)}"
        f" in {mix.hours_now:.1f} hours."
    )
    lines += columns(
        [
            ["units a month", "now", "best"],
            *[
                [_short(name, 34), f"{now * 52 / 12:.1f}", f"{best * 52 / 12:.1f}"]
                for name, now, best in mix.parts[:MOST_MIX]
            ],
        ],
        right=(1, 2),
    )
    return lines + wrap(
        f"An hour more a week would add {money(mix.worth_of_hour, currency)}, a spot more"
        f" {money(mix.worth_of_spot, currency)}. Rests on: the next unit of a type pays as the last"
        f" did, no more than {REACH:g} times your usual number of it can be found, no season."
    )


def by_words(by: tuple[str, ...]) -> str:
    """`type and condition`."""
    return " and ".join(NAMES.get(name, name.replace("_", " ")) for name in by)


def verdict(comparison: Comparison, currency: str) -> str:
    """The decision in one or two sentences; "cannot tell yet" where the ranges say so."""
    best = comparison.best
    if best is None:
        return "Nothing has ended yet, so nothing can be compared."
    name = best.name if best.name != NOT_WRITTEN else f"{by_words(comparison.by)} {NOT_WRITTEN}"
    paid = (
        f"{money(best.per_hour, currency)} an hour over {best.n:,} unit{'s' if best.n != 1 else ''}"
    )
    if len(comparison.groups) == 1:
        return f"{name.upper()}: {paid}. There is nothing else to compare it with yet."
    if comparison.sure:
        return (
            f"{name.upper()} PAYS BEST: {paid}; {_odds(best.chance_best)} it is the best of them."
        )
    more = (
        f" About {comparison.more_units} more units of the two would tell."
        if comparison.more_units
        else " Over 400 more units would not tell them apart: take them as equal."
    )
    return (
        f"{name.upper()} PAYS BEST SO FAR: {paid}. Cannot tell yet: {_odds(best.chance_best)} it is"
        f" the best, and {comparison.rival} could be ahead.{more}"
    )


def _odds(share: float) -> str:
    return {
        "hardly ever": "there is next to no chance that",
        "nearly always": "it is nearly certain that",
    }.get(chance(share), f"about {chance(share)}")


def notes(comparison: Comparison, currency: str) -> list[str]:
    """What stands beside the groups, one paragraph each: all units together, and what was put in or
    left out."""
    return [
        note
        for note in (_overall(comparison, currency), " ".join(_left_out(comparison, currency)))
        if note
    ]


def _overall(comparison: Comparison, currency: str) -> str:
    spread = (
        f" (4 of 5: {money(comparison.low, currency)} to {money(comparison.high, currency)})"
        if comparison.low is not None and comparison.high is not None
        else ""
    )
    trips = (
        f" and {comparison.n_trips} empty trip{'s' if comparison.n_trips != 1 else ''}"
        if comparison.n_trips
        else ""
    )
    target = money(comparison.target, currency)
    return (
        f"All {comparison.n:,} ended units: {money(comparison.per_hour or 0, currency)} an"
        f" hour{spread}; you want {target}. Failed units{trips} are counted."
    )


def _table(comparison: Comparison, currency: str, most: int = MOST_ROWS) -> list[str]:
    shown = comparison.groups[:most]
    cells = [_row(group, currency) for group in shown]
    head = ["an hour", "4 of 5", "even", "units", "best"]
    rest = max(map(width_of, columns([head, *cells], right=(0, 2, 3), gap=1)))
    names = [f"by {by_words(comparison.by)}".upper(), *[group.name for group in shown]]
    rows = [
        [_short(name, WIDTH - rest - 1), *row]
        for name, row in zip(names, [head, *cells], strict=True)
    ]
    lines = columns(rows, right=(1, 3, 4), gap=1)
    if len(comparison.groups) > most:
        lines.append(f"{len(comparison.groups) - most} more: add --json for all of them.")
    return [
        *lines,
        *wrap(
            "even: what to expect of the next ones; few units lean on the rest. best: the chance"
            " that it is the best."
        ),
    ]


def _row(group: Group, currency: str) -> list[str]:
    odds = {"hardly ever": "-", "nearly always": "sure", "over half": "half +"}.get(
        chance(group.chance_best), chance(group.chance_best)
    )
    return [
        money(group.per_hour, currency),
        span(group, currency),
        money(group.pooled, currency),
        str(group.n),
        odds,
    ]


def span(group: Group, currency: str) -> str:
    """`$30 to $52`, or that there are too few units for a range of their own."""
    return (
        "too few"
        if group.n < OWN_RANGE_FROM
        else f"{money(group.low, currency)} to {money(group.high, currency)}"
    )


def _short(name: str, width: int) -> str:
    return name if len(name) <= width else name[: width - 1] + "…"


def _hours(comparison: Comparison) -> list[str]:
    """Hours a unit by task, tasks that nobody wrote left out."""
    used = [
        task
        for task in TASK_WORDS
        if any(group.hours_by_task[task] > 0 for group in comparison.groups)
    ]
    rows = [["HOURS A UNIT", *[TASK_WORDS[task] for task in used], "fail"]]
    for group in comparison.groups[:4]:
        rows.append(
            [
                _short(group.name, 18),
                *[f"{group.hours_by_task[task] / group.n:.1f}" for task in used],
                f"{group.n_failed} of {group.n}",
            ]
        )
    return columns(rows, right=range(1, len(used) + 2), gap=1)


def wild_words(group: Group, currency: str) -> str:
    """One unit that moves its group by much: a slip of the pen, or luck that will not come
    again."""
    return (
        f"Without {group.wild} {group.name} is at {money(group.without_wild or 0, currency)} an"
        f" hour, not {money(group.per_hour, currency)}: is it written right?"
    )


def _left_out(comparison: Comparison, currency: str) -> list[str]:
    notes = [wild_words(group, currency) for group in comparison.groups[:3] if group.wild][:1]
    assumed_hours = sum(group.assumed_hours for group in comparison.groups)
    assumed_money = sum(group.assumed_money for group in comparison.groups)
    if assumed_hours >= 0.05 * comparison.hours or assumed_money > 0:
        notes.append(
            f"Put in for blanks, at your usual or your settings: {assumed_hours:.0f} hours,"
            f" {money(assumed_money, currency)} of costs."
        )
    if comparison.n_uncounted:
        notes.append(f"Left out: {comparison.n_uncounted} sold with no price written.")
    if comparison.n_without_hours:
        notes.append(f"Left out: {comparison.n_without_hours} in groups with no hours.")
    return [line for note in notes for line in wrap(note)]


def _nothing(comparison: Comparison) -> list[str]:
    lines = wrap(
        "CANNOT TELL YET: no unit in your record has been sold, scrapped or parted, so nothing has"
        " paid by the hour yet."
    )
    if comparison.n_uncounted:
        lines += wrap(
            f"{comparison.n_uncounted} sold units have no price written: write it, and they count."
        )
    return lines


def compare_json(
    comparison: Comparison, currency: str, as_of: str, mix: Mix | None = None
) -> Mapping[str, Any]:
    """The same for programs: every group and every figure, money to the cent, None where a figure
    is not known."""
    table = asdict(comparison)
    if mix is not None:
        table["mix"] = asdict(mix)
    table["groups"] = [plain_json(asdict(group)) for group in comparison.groups]
    return {
        "as_of": as_of,
        "currency": currency,
        "verdict": verdict(comparison, currency),
        **plain_json(table),
    }


def plain_json(value: Any) -> Any:
    """Plain tables and lists in depth, floats to four places."""
    if isinstance(value, dict):
        return {
            name.replace("not split", "not_split"): plain_json(item) for name, item in value.items()
        }
    if isinstance(value, (list, tuple)):
        return [plain_json(item) for item in value]
    return round(value, 4) if isinstance(value, float) else value
