"""The parts of the quarter's report that come from the price model: were the calls right, what
moves a price, where prices went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pricing.pages import quarter_words as words
from pricing.pages.parts import Section, Shown, Table, hours, rate
from pricing.pages.text import exact, limit, money
from pricing.proof.reportcard import ReportCard
from pricing.quarter.calls import CalledSale, Calls
from pricing.quarter.limits import Limits
from pricing.quarter.period import Quarter
from pricing.quarter.worth import Effect, Level
from pricing.wording.plain import percent

CLOSE = 0.05  # of the price: within it a call is neither high nor low for a person


def calls_sentence(judged: Calls | None, currency: str) -> str | None:
    """How often the sale fell in the range, and where the calls ran high or low; None where nothing
    was called."""
    if judged is None or not judged.calls:
        return None
    n = len(judged.calls)
    text = (
        f"My price range caught {judged.n_caught:,} of {n:,} sale{'s' if n != 1 else ''} (I promise"
        f" {percent(judged.coverage)})"
    )
    far = max(judged.by_type, key=lambda line: abs(line[2]), default=None)
    if far is not None and abs(far[2]) >= 5:
        return (
            f"{text}; my estimates ran {money(abs(far[2]), currency)}"
            f" {'high' if far[2] > 0 else 'low'} on {words.plural(far[0])}."
        )
    if abs(judged.off) >= CLOSE:
        return (
            f"{text}; my estimates ran {abs(judged.off) * 100:.0f}%"
            f" {'high' if judged.off > 0 else 'low'}."
        )
    return f"{text}; my estimates ran neither high nor low."


def calls_section(
    judged: Calls | None, currency: str, draw: bool, n_sold: int, answered: Table | None = None
) -> Section:
    """Estimates: caught or missed, best and worst calls; and what was answered at the time, where
    that was kept."""
    kept = [answered] if answered is not None else []
    if judged is None or not judged.calls:
        why = (
            "No unit was sold in the quarter, so there was nothing to call."
            if n_sold == 0
            else (
                "No sale of the quarter could be called: the record before it holds no sale to"
                " learn from."
            )
        )
        return Section("estimates", "Were the estimates right", [why], (), kept)
    intro = (
        "Each sale against the range that the record before the quarter would have given it, told"
        f" what the unit was and nothing that came later; learned from {judged.n_learned:,} sales."
    )
    head = ["", "Unit", "Type", "Called", "Range", "Paid", "Off"]
    rows = [_call("best", call, currency) for call in judged.best] + [
        _call("worst", call, currency) for call in judged.worst
    ]
    by_type = [[name, str(n), money(gap, currency)] for name, n, gap in judged.by_type]
    tables = [Table("Three best and three worst calls", head, rows, right=frozenset({3, 5, 6}))]
    if by_type:
        tables.append(
            Table(
                "Called less paid, on average",
                ["Type", "Sales", "Ran high by"],
                by_type,
                right=frozenset({1, 2}),
            )
        )
    picture = None
    if draw:
        from pricing.pages import charts

        picture = charts.calls(judged, currency)
    return Section(
        "estimates",
        "Were the estimates right",
        [intro],
        [
            Shown(
                "Each sale against its range",
                calls_sentence(judged, currency) or "",
                _caught_table(judged),
                picture,
            )
        ],
        [*tables, *kept],
    )


def _caught_table(judged: Calls) -> Table:
    outside = len(judged.calls) - judged.n_caught
    rows = [["inside", str(judged.n_caught)], ["outside", str(outside)]]
    foot = [["all called", str(len(judged.calls))]]
    return Table("Caught by the range", ["", "Sales"], rows, foot, frozenset({1}))


def answered_table(card: ReportCard | None, quarter: Quarter) -> Table | None:
    """The answers that were given at the time and whose units sold in the quarter: caught or not,
    and the tool against the person's own number."""
    if card is None:
        return None
    first, last = quarter.first, quarter.last
    here = replace(card, scored=tuple(one for one in card.scored if first <= one.sold <= last))
    if not here.scored:
        return None
    tool, own, same = here.nearer
    rows = [
        ["answers given whose unit sold in the quarter", str(len(here.scored))],
        ["of them the sale fell in the range I gave", str(here.n_caught)],
        ["my price was off by, usually", percent(here.off)],
        ["answers with your own number beside mine", str(len(here.both))],
    ]
    if here.both:
        off_tool, off_own = here.off_both
        rows += [
            ["  mine was nearer", str(tool)],
            ["  yours was nearer", str(own)],
            ["  both alike", str(same)],
            ["  mine was off by, usually", percent(off_tool)],
            ["  yours was off by, usually", percent(off_own)],
        ]
    return Table(
        "What I answered when you asked, and your own numbers",
        ["", "Count"],
        rows,
        right=frozenset({1}),
    )


def _call(kind: str, call: CalledSale, currency: str) -> list[str]:
    return [
        kind,
        call.unit or "-",
        call.type,
        limit(call.middle, currency),
        f"{limit(call.low, currency)} to {limit(call.high, currency)}",
        money(call.price, currency),
        f"{call.off * 100:+.0f}%",
    ]


def limits_section(limits: Limits | None, currency: str) -> Section:
    """What was paid against the most that I would have said to pay."""
    title = "Paid against the limit"
    if limits is None or not limits.units:
        return Section(
            "limits",
            title,
            [
                "No unit of the quarter can be judged: nothing was sold before it, or what you paid"
                " is not written."
            ],
        )
    over, within = limits.side(True), limits.side(False)
    rows = [_side("within my limit", within, currency), _side("over my limit", over, currency)]
    both = (over[0] + within[0], round(over[1] + within[1], 2), round(over[2] + within[2], 2))
    table = Table(
        "By the limit that pricing offer would have named",
        ["Paid", "Units", "Kept", "Hours", "An hour"],
        rows,
        [_side("all judged", both, currency)],
        frozenset({1, 2, 3, 4}),
    )
    intro = (
        "Each unit as it was told before the drive, judged by what the record knew before the"
        " quarter; below 0 they should have paid you."
    )
    rest, whole = rate_words(within, currency), rate_words(both, currency)
    says = (
        f"If you had passed on what was over my limit, you'd have left {over[0]} of {both[0]} and"
        f" kept {rest} on the rest (all of them: {whole})."
    )
    left = (
        [
            f"{words.capital(words.units_word(limits.n_left))} could not be judged, or were left"
            " out to keep this quick."
        ]
        if limits.n_left
        else []
    )
    tables = [table, *_furthest(limits, currency)]
    return Section("limits", title, [intro, says, *left], (), tables)


def _furthest(limits: Limits, currency: str) -> list[Table]:
    """The five units that were paid furthest over the limit; no table where none was."""
    dearest = sorted(
        (each for each in limits.units if each.over),
        key=lambda each: (each.limit - each.paid, each.unit),
    )[:5]
    worst = [
        [
            each.unit or "-",
            each.type,
            money(each.paid, currency),
            limit(each.limit, currency),
            exact(each.profit, currency),
            hours(each.hours),
        ]
        for each in dearest
    ]
    head = ["Unit", "Type", "Paid", "Limit", "Kept", "Hours"]
    right = frozenset({2, 3, 4, 5})
    return [Table("Furthest over the limit", head, worst, right=right)] if worst else []


def _side(name: str, side: tuple[int, float, float], currency: str) -> list[str]:
    return [
        name,
        str(side[0]),
        exact(side[1], currency),
        hours(side[2]),
        rate(side[1] / side[2] if side[2] > 0 else None, currency),
    ]


def rate_words(side: tuple[int, float, float], currency: str) -> str:
    """`$41 an hour`, or nothing where no hour was worked."""
    return f"{money(side[1] / side[2], currency)} an hour" if side[2] > 0 else "nothing"


def prices_section(
    level: Level | None, worths: Sequence[Effect], currency: str, draw: bool, n_learned: int
) -> Section:
    """Prices: the level over time, and what a year, a grade and a feature are worth now."""
    if n_learned == 0:
        none = "No unit has been sold yet, so it is too early to say anything of prices."
        return Section("prices", "Prices", [none])
    paragraphs = [
        f"Learned from {n_learned:,} sales, leaning on the starting figures where sales are few."
    ]
    if level is None:
        paragraphs.append("Sales in fewer than three months: where prices go cannot be told yet.")
    shown = [] if level is None else [_level_shown(level, draw)]
    tables = [_worth_table(worths, currency)] if worths else []
    return Section("prices", "Prices", paragraphs, shown, tables)


def _level_shown(level: Level, draw: bool) -> Shown:
    rows = [
        [
            month,
            f"{level.level[i] * 100:.0f}",
            f"{level.low[i] * 100:.0f} to {level.high[i] * 100:.0f}",
            str(int(level.n[i])),
        ]
        for i, month in enumerate(level.months)
    ]
    title = "The same unit, month by month, the last month as 100"
    table = Table(title, ["Month", "Level", "most", "Sales"], rows, right=frozenset({1, 3}))
    picture = None
    if draw:
        from pricing.pages import charts

        picture = charts.price_level(level)
    return Shown("Where prices went", level_takeaway(level), table, picture)


def _worth_table(worths: Sequence[Effect], currency: str) -> Table:
    rows = [
        [
            worth.what,
            worth.on,
            _amount(worth.share, worth, currency),
            f"{_amount(worth.low, worth, currency)} to {_amount(worth.high, worth, currency)}",
            f"{worth.share * 100:+.0f}%",
            str(worth.n),
            "yes" if worth.clear else "too early to say",
        ]
        for worth in worths
    ]
    head = ["What", "On a usual", "Worth", "Most", "Share of price", "Own sales", "Clear?"]
    return Table("What it is worth now", head, rows, right=frozenset({2, 4, 5}))


def _amount(share: float, worth: Effect, currency: str) -> str:
    return money(share * worth.usual, currency)


def level_takeaway(level: Level) -> str:
    """The last month against a year before, else against the first one; "too early to say" where
    the range holds 100."""
    back = max(len(level.months) - 13, 0)
    was, low, high = level.level[back], level.low[back], level.high[back]
    month = level.months[back]
    if low <= 1 <= high:
        return f"Prices against {month}: too early to say whether they rose or fell."
    move = (1 / was - 1) * 100
    return (
        f"The same unit sells for about {abs(move):.0f}% {'more' if move > 0 else 'less'} than in"
        f" {month}."
    )
