"""`accuracy` as a person reads it: one plain sentence, how the sales fell, the plain rules beside,
real answers. What only statisticians ask for stands under `--detail`."""

from collections.abc import Mapping, Sequence
from typing import Any

from pricing.basis.frozen import named
from pricing.pages.compare_text import plain_json
from pricing.pages.text import columns, limit, money, wrap
from pricing.proof.accuracy import OURS, Accuracy, Line
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
    promised = f"(I promise {_share(accuracy.coverage)})"
    caught = f"{line.n_caught} of {line.n} sales fell inside my range {promised}"
    half = f"half of my estimates were within {_share(line.off)} of the price"
    if line.n < FEW:
        return f"TOO FEW TO TELL: {caught}, and {half}. {FEW - line.n} more sales and I can say."
    low, high = line.band
    if line.n_caught < low:
        wider = f" From the next fit on they are {_share(accuracy.widen - 1)} wider."
        mended = wider if accuracy.widen > 1 else ""
        return f"MY RANGES WERE TOO NARROW: only {caught}; {half}.{mended}"
    beaten = [rule for rule in accuracy.rules if rule.n >= FEW and rule.ratio - 2 * rule.error > 1]
    if beaten:
        nearer = f"{RULE_WORDS[beaten[0].name]} was nearer on your sales so far"
        return f"A PLAIN RULE DID BETTER: {nearer}. {caught[0].upper()}{caught[1:]}; {half}."
    if line.n_caught > high:
        return f"ON THE SAFE SIDE: {caught}, more than promised, so they could be narrower; {half}."
    return f"THE ESTIMATES HELD: {half}, and {caught}."


def _share(value: float) -> str:
    return f"{value * 100:.0f}%"


def _how(accuracy: Accuracy) -> list[str]:
    left = f" {accuracy.n_left} more could not be: no day sold, or too long ago."
    when = f"{accuracy.first:%b %Y} to {accuracy.last:%b %Y}"
    said = f"Each sale from {when} was estimated from what your record held at the end of the month"
    some = f" Looked at: a fair sample by month, {accuracy.looked_at:,} of {accuracy.of:,} units."
    told = [left if accuracy.n_left else "", some if accuracy.looked_at < accuracy.of else ""]
    return wrap(f"{said} before it was listed, nothing later.{''.join(told)}")


def _table(accuracy: Accuracy, detail: bool) -> list[str]:
    assert accuracy.overall is not None
    types = accuracy.by_type if detail else accuracy.by_type[:6]
    rows = [["", "sales", "half within", "I ran", "in range"], _row(accuracy.overall, "all sales")]
    rows += [_row(line, _short(line.name)) for line in types]
    rows.append(["of that type:", "", "", "", ""])
    rows += [_row(line, f"  {line.name}") for line in accuracy.by_thickness]
    if accuracy.blank_age is not None:
        rows.append(_row(accuracy.blank_age, accuracy.blank_age.name))
    if detail:
        rows += [_row(line, line.name) for line in accuracy.by_month]
    return columns(rows, right=(1, 2, 3, 4), gap=1)


def _row(line: Line, name: str) -> list[str]:
    ran = f"{abs(line.high) * 100:.0f}% {'high' if line.high > 0 else 'low'}"
    ran = "even" if abs(line.high) < 0.005 else ran
    return [name, str(line.n), _share(line.off), ran, f"{line.n_caught} of {line.n}"]


def _short(name: str, width: int = 22) -> str:
    return name if len(name) <= width else name[: width - 1] + "…"


def _rules(accuracy: Accuracy) -> list[str]:
    rows = [["RULES OF THUMB, SAME SALES", "off by", "mine closer"]]
    for rule in accuracy.rules:
        if rule.n:
            nearer = f"{rule.n_nearer} of {rule.n}"
            rows.append([RULE_WORDS[rule.name], _share(rule.off), nearer])
    return columns(rows, right=(1, 2), gap=2)


def _notes(accuracy: Accuracy) -> list[str]:
    unsold = accuracy.unsold
    if unsold is None:
        return []

    def moved(shift: float) -> str:
        return f"{_share(abs(shift))} {'lower' if shift < 0 else 'higher'}"

    some = [one for one in unsold.by_type if abs(one[1]) >= 0.03]
    types = [f"{name} {moved(shift)} ({n} unsold)" for name, n, shift in some]
    if abs(unsold.shift) < 0.03 and not types:
        return []
    told = ", ".join(types[:3]) or f"all about {moved(unsold.shift)}"
    sold = f"Only what sold is counted above. If your {unsold.n} unsold units go for 80% of the ask"
    return [f"{sold}, my estimates move: {told}."]


def _card(card: ReportCard, currency: str) -> list[str]:
    lines = ["YOUR KEPT ANSWERS"]
    if not card.n_kept:
        none = "None yet. Add --keep to pricing ask, and --mine 280 for your own number:"
        return [*lines, *wrap(f"{none} once the unit sells, both are marked.")]
    if not card.scored:
        few = f"{card.n_kept} kept, none sold yet. They are marked once the unit is sold."
        return [*lines, *wrap(few)]
    sold = f"{card.n_caught} of {len(card.scored)} sold inside the range I gave"
    within = f"half of my numbers were within {_share(card.off)}"
    lines += wrap(f"{sold}; {within}. {card.n_open} still open.")
    if card.both:
        lines += wrap(_kindly(*card.nearer, *card.off_both))
    rows = [["last sold", "sold", "I said", "you said"]]
    for one in card.scored[-4:]:
        said = "" if one.kept.own is None else money(one.kept.own, currency)
        mine = limit(one.kept.median, currency)
        rows.append([_short(f"{one.unit} {one.type}"), money(one.price, currency), mine, said])
    lines += columns(rows, right=(1, 2, 3), gap=2)
    if card.problems:
        lines += wrap(f"{len(card.problems)} kept answers are damaged and were left out.")
    return lines


def _kindly(tool: int, person: int, alike: int, mine: float, yours: float) -> str:
    n = tool + person + alike
    if n < FEW:
        so_far = (
            f"With your own number beside mine {n} times so far: you were nearer {person} times"
        )
        return f"{so_far}, I {tool} times. Too few to say who is better."
    if person > tool:
        within = f"(half within {_share(yours)}, mine {_share(mine)})"
        closer = f"Yours was closer {person} of {n} times {within}"
        return f"{closer}: trust your eye, and use me for the range."
    if tool > person:
        closer = (
            f"Mine was closer {tool} of {n} times (off by {_share(mine)}, yours {_share(yours)})."
        )
        return f"{closer} You still see what no sheet holds: where we are far apart, look again."
    return f"We were nearer equally often over {n} sales. Where we are far apart, look again."


# ---- for the statistician


def _detail(accuracy: Accuracy) -> list[str]:
    line, ratios = accuracy.overall, accuracy.ratios
    assert line is not None and ratios is not None
    low, high = line.band
    lines = ["FOR THE STATISTICIAN"]
    reached = f"Ranges of {accuracy.coverage:.2f}: reached {line.n_caught / line.n:.3f}"
    right = f"a right range catches {low} to {high} of {line.n} in 95% of replays (binomial)"
    lines += wrap(f"{reached}; {right}.")
    scores = (
        ("mean interval score", line.interval_score), ("mean CRPS", line.crps),
        ("mean width of the range", line.width),
    )  # fmt: skip
    rows = [["on ln price", "value"], *([name, f"{value:.4f}"] for name, value in scores)]
    lines += columns(rows, right=(1,))
    lines += ["", "Valuation ratios (estimate / price; 95% by bootstrap)"]
    named: Sequence[tuple[str, Figure, str, str]] = (
        ("median ratio", ratios.median, ".3f", ".90-1.10"),
        ("dispersion, %", ratios.dispersion, ".1f", "5-15"),
        ("differential", ratios.differential, ".3f", ".98-1.03"),
        ("bias", ratios.bias, ".3f", "+-.05"),
    )
    rows = [["", "value", "from", "to", "assessors want"]]
    for name, one, form, want in named:
        rows.append([name, *(f"{value:{form}}" for value in (one.value, one.low, one.high)), want])
    lines += columns(rows, right=(1, 2, 3, 4), gap=2)
    norms = "International Association of Assessing Officers, Standard on Ratio Studies, 2013"
    lines += wrap(f"Norms: {norms} (houses).")
    lines += ["", "Mean |error of ln price|, ours over the rule's (s.e.)"]
    told = [one for one in accuracy.rules if one.n]
    rules = [[one.name, f"{one.ratio:.3f}", f"({one.error:.3f})"] for one in told]
    return [*lines, *columns(rules, right=(1, 2), gap=2)]


def accuracy_json(
    accuracy: Accuracy, card: ReportCard, as_of: str, warning: str | None
) -> Mapping[str, Any]:
    """The same for programs; None where a figure is not known."""
    replayed, ours = accuracy.replay, accuracy.replay.answers[OURS]
    sold = accuracy.units.take(replayed.rows)
    words = {name: sold.word(name).texts() for name in ("unit", "type")}
    known = {name: getattr(replayed, name).tolist() for name in ("n_known", "n_of_type", "price")}
    told = {name: getattr(ours, name).tolist() for name in ("median", "low", "high")}
    table = {**words, **known, **told}
    rows = zip(*table.values(), strict=True)
    figures = (
        "overall", "by_type", "by_thickness", "by_month", "blank_age", "ratios", "rules", "unsold",
    )  # fmt: skip
    tool, person, alike = card.nearer
    return {
        "as_of": as_of,
        "verdict": verdict(accuracy),
        **named(accuracy, "coverage widen not_estimated=n_left looked_at of"),
        **{name: plain_json(getattr(accuracy, name), 6) for name in figures},
        "sales": [plain_json(dict(zip(table, row, strict=True)), 6) for row in rows],
        "kept": {
            **named(card, "n=n_kept open=n_open caught=n_caught"),
            "scored": len(card.scored),
            "off": plain_json(card.off, 6),
            "nearer": {"tool": tool, "person": person, "alike": alike},
            "damaged": [problem.as_dict() for problem in card.problems],
        },
        "warnings": [warning] if warning else [],
    }
