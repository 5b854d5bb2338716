"""`accuracy` as a person reads it: one plain sentence first, then how the sales fell, then the
plain rules beside, then real answers.

The scores of statisticians and the assessors' ratios stand only under `--detail`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from pricing.pages.text import columns, limit, money, wrap

if TYPE_CHECKING:
    from pricing.proof.accuracy import Accuracy, Line, Rule
    from pricing.proof.reportcard import ReportCard
    from pricing.proof.scores import Figure

FEW = 10  # sales under which nothing is judged
RULE_WORDS = {
    "type median": "what half of that type brought",
    "last similar sale": "the last sale like it",
    "one price": "one price for everything",
    "ridge": "a straight-line formula",
    "boosting": "a learner that knows no trade",
}


def accuracy_text(
    accuracy: Accuracy, card: ReportCard, currency: str, detail: bool = False
) -> list[str]:
    """Lines of at most 60 columns, about a screen without `detail`."""
    lines = wrap(verdict(accuracy))
    if accuracy.overall is not None:
        lines += ["", *_how(accuracy), "", *_table(accuracy, detail), "", *_rules(accuracy)]
    lines += [line for note in _notes(accuracy) for line in ["", *wrap(note)]]
    lines += ["", *_card(card, currency)]
    if detail and accuracy.overall is not None:
        lines += ["", *_detail(accuracy)]
    return lines


def verdict(accuracy: Accuracy) -> str:
    """One plain sentence, or two."""
    line = accuracy.overall
    if line is None:
        return "NOTHING TO CHECK YET: no sale has its day and a month of record before it."
    caught = (
        f"{line.n_caught} of {line.n} sales fell inside my range (I promise"
        f" {_share(accuracy.coverage)})"
    )
    half = f"half of my estimates were within {_share(line.off)} of the price"
    if line.n < FEW:
        return f"TOO FEW TO TELL: {caught}, and {half}. {FEW - line.n} more sales and I can say."
    low, high = line.band
    if line.n_caught < low:
        mended = (
            f" From the next fit on they are {_share(accuracy.widen - 1)} wider."
            if accuracy.widen > 1
            else ""
        )
        return f"MY RANGES WERE TOO NARROW: only {caught}; {half}.{mended}"
    beaten = [rule for rule in accuracy.rules if rule.n >= FEW and rule.ratio - 2 * rule.error > 1]
    if beaten:
        return (
            f"A PLAIN RULE DID BETTER: {RULE_WORDS[beaten[0].name]} was nearer on your sales so"
            f" far. {caught[0].upper()}{caught[1:]}; {half}."
        )
    if line.n_caught > high:
        return f"ON THE SAFE SIDE: {caught}, more than promised, so they could be narrower; {half}."
    return f"THE ESTIMATES HELD: {half}, and {caught}."


def _share(value: float) -> str:
    return f"{value * 100:.0f}%"


def _how(accuracy: Accuracy) -> list[str]:
    left = (
        f" {accuracy.n_left} more could not be: no day sold, or too long ago."
        if accuracy.n_left
        else ""
    )
    when = f"{accuracy.first:%b %Y} to {accuracy.last:%b %Y}"
    return wrap(
        f"Each sale from {when} was estimated from what your record held at the end of the month"
        f" before it was listed, nothing later.{left}"
    )


def _table(accuracy: Accuracy, detail: bool) -> list[str]:
    assert accuracy.overall is not None
    head = ["", "sales", "half within", "I ran", "in range"]
    rows = [head, _row(accuracy.overall, "all sales")]
    rows += [
        _row(line, _short(line.name))
        for line in (accuracy.by_type if detail else accuracy.by_type[:6])
    ]
    rows.append(["of that type:", "", "", "", ""])
    rows += [_row(line, f"  {line.name}") for line in accuracy.by_thickness]
    if accuracy.blank_age is not None:
        rows.append(_row(accuracy.blank_age, accuracy.blank_age.name))
    if detail:
        rows += [_row(line, line.name) for line in accuracy.by_month]
    return columns(rows, right=(1, 2, 3, 4), gap=1)


def _row(line: Line, name: str) -> list[str]:
    ran = (
        "even"
        if abs(line.high) < 0.005
        else f"{abs(line.high) * 100:.0f}% {'high' if line.high > 0 else 'low'}"
    )
    return [name, str(line.n), _share(line.off), ran, f"{line.n_caught} of {line.n}"]


def _short(name: str, width: int = 22) -> str:
    return name if len(name) <= width else name[: width - 1] + "…"


def _rules(accuracy: Accuracy) -> list[str]:
    rows = [["RULES OF THUMB, SAME SALES", "off by", "mine closer"]]
    rows += [_rule_row(rule) for rule in accuracy.rules if rule.n]
    return columns(rows, right=(1, 2), gap=2)


def _rule_row(rule: Rule) -> list[str]:
    return [RULE_WORDS[rule.name], _share(rule.off), f"{rule.n_nearer} of {rule.n}"]


def _notes(accuracy: Accuracy) -> list[str]:
    notes = []
    unsold = accuracy.unsold
    if unsold is not None:
        moved = [
            f"{name} {_share(abs(shift))} {'lower' if shift < 0 else 'higher'} ({n} unsold)"
            for name, n, shift in unsold.by_type
            if abs(shift) >= 0.03
        ]
        if abs(unsold.shift) >= 0.03 or moved:
            told = (
                f": {', '.join(moved[:3])}"
                if moved
                else (
                    f": all about {_share(abs(unsold.shift))}"
                    f" {'lower' if unsold.shift < 0 else 'higher'}"
                )
            )
            notes.append(
                f"Only what sold is counted above. If your {unsold.n} unsold units go for 80% of"
                f" the ask, my estimates move{told}."
            )
    return notes


def _card(card: ReportCard, currency: str) -> list[str]:
    lines = ["YOUR KEPT ANSWERS"]
    if not card.n_kept:
        return [
            *lines,
            *wrap(
                "None yet. Add --keep to pricing ask, and --mine 280 for your own number: once the"
                " unit sells, both are marked."
            ),
        ]
    if not card.scored:
        return [
            *lines,
            *wrap(f"{card.n_kept} kept, none sold yet. They are marked once the unit is sold."),
        ]
    lines += wrap(
        f"{card.n_caught} of {len(card.scored)} sold inside the range I gave; half of my numbers"
        f" were within {_share(card.off)}. {card.n_open} still open."
    )
    if card.both:
        tool, person, alike = card.nearer
        mine, yours = card.off_both
        lines += wrap(_kindly(tool, person, alike, mine, yours))
    rows = [["last sold", "sold", "I said", "you said"]]
    for one in card.scored[-4:]:
        said = "" if one.kept.own is None else money(one.kept.own, currency)
        rows.append(
            [
                _short(f"{one.unit} {one.type}"),
                money(one.price, currency),
                limit(one.kept.median, currency),
                said,
            ]
        )
    lines += columns(rows, right=(1, 2, 3), gap=2)
    if card.problems:
        lines += wrap(f"{len(card.problems)} kept answers are damaged and were left out.")
    return lines


def _kindly(tool: int, person: int, alike: int, mine: float, yours: float) -> str:
    n = tool + person + alike
    if n < FEW:
        return (
            f"With your own number beside mine {n} times so far: you were nearer {person} times, I"
            f" {tool} times. Too few to say who is better."
        )
    if person > tool:
        return (
            f"Yours was closer {person} of {n} times (half within {_share(yours)}, mine"
            f" {_share(mine)}): trust your eye, and use me for the range."
        )
    if tool > person:
        return (
            f"Mine was closer {tool} of {n} times (off by {_share(mine)}, yours {_share(yours)})."
            " You still see what no sheet holds: where we are far apart, look again."
        )
    return f"We were nearer equally often over {n} sales. Where we are far apart, look again."


# ---- for the statistician


def _detail(accuracy: Accuracy) -> list[str]:
    line, ratios = accuracy.overall, accuracy.ratios
    assert line is not None and ratios is not None
    lines = ["FOR THE STATISTICIAN"]
    low, high = line.band
    lines += wrap(
        f"Ranges of {accuracy.coverage:.2f}: reached {line.n_caught / line.n:.3f}; a right range"
        f" catches {low} to {high} of {line.n} in 95% of replays (binomial)."
    )
    lines += columns(
        [
            ["on ln price", "value"],
            ["mean interval score", f"{line.interval_score:.4f}"],
            ["mean CRPS", f"{line.crps:.4f}"],
            ["mean width of the range", f"{line.width:.4f}"],
        ],
        right=(1,),
    )
    lines += ["", "Valuation ratios (estimate / price; 95% by bootstrap)"]
    named: Sequence[tuple[str, Figure, str, str]] = (
        ("median ratio", ratios.median, ".3f", ".90-1.10"),
        ("dispersion, %", ratios.dispersion, ".1f", "5-15"),
        ("differential", ratios.differential, ".3f", ".98-1.03"),
        ("bias", ratios.bias, ".3f", "+-.05"),
    )
    rows = [["", "value", "from", "to", "assessors want"]]
    rows += [
        [name, f"{figure.value:{form}}", f"{figure.low:{form}}", f"{figure.high:{form}}", want]
        for name, figure, form, want in named
    ]
    lines += columns(rows, right=(1, 2, 3, 4), gap=2)
    lines += wrap(
        "Norms: International Association of Assessing Officers, Standard on Ratio Studies, 2013"
        " (houses)."
    )
    lines += ["", "Mean |error of ln price|, ours over the rule's (s.e.)"]
    lines += columns(
        [
            [rule.name, f"{rule.ratio:.3f}", f"({rule.error:.3f})"]
            for rule in accuracy.rules
            if rule.n
        ],
        right=(1, 2),
        gap=2,
    )
    return lines


def accuracy_json(
    accuracy: Accuracy, card: ReportCard, as_of: str, warning: str | None
) -> Mapping[str, Any]:
    """The same for programs; None where a figure is not known."""
    from pricing.proof.accuracy import OURS

    replayed, ours = accuracy.replay, accuracy.replay.answers[OURS]
    sold = accuracy.units.take(replayed.rows)
    names = ("unit", "type", "n_known", "n_of_type", "price", "median", "low", "high")
    figures = (
        replayed.n_known, replayed.n_of_type, replayed.price, ours.median, ours.low, ours.high,
    )  # fmt: skip
    table = (
        sold.word("unit").texts(),
        sold.word("type").texts(),
        *(values.tolist() for values in figures),
    )
    tool, person, alike = card.nearer
    return {
        "as_of": as_of,
        "verdict": verdict(accuracy),
        "coverage": accuracy.coverage,
        "widen": accuracy.widen,
        "not_estimated": accuracy.n_left,
        "overall": _plain(asdict(accuracy.overall)) if accuracy.overall else None,
        "by_type": [_plain(asdict(line)) for line in accuracy.by_type],
        "by_thickness": [_plain(asdict(line)) for line in accuracy.by_thickness],
        "by_month": [_plain(asdict(line)) for line in accuracy.by_month],
        "blank_age": _plain(asdict(accuracy.blank_age)) if accuracy.blank_age else None,
        "ratios": _plain(asdict(accuracy.ratios)) if accuracy.ratios else None,
        "rules": [_plain(asdict(rule)) for rule in accuracy.rules],
        "unsold": _plain(asdict(accuracy.unsold)) if accuracy.unsold else None,
        "sales": [_plain(dict(zip(names, row, strict=True))) for row in zip(*table, strict=True)],
        "kept": {
            "n": card.n_kept,
            "open": card.n_open,
            "scored": len(card.scored),
            "caught": card.n_caught,
            "off": _plain(card.off),
            "nearer": {"tool": tool, "person": person, "alike": alike},
            "damaged": [problem.as_dict() for problem in card.problems],
        },
        "warnings": [warning] if warning else [],
    }


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _plain(item) for name, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return (round(value, 6) if value == value else None) if isinstance(value, float) else value
