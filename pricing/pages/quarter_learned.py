"""The quarter's report from the price model: were the calls right, what moves prices."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from pricing.pages import quarter_words as words
from pricing.pages.parts import SIDE, Column, Section, Shown, Table, in_columns, side
from pricing.pages.text import limit, money
from pricing.proof.reportcard import ReportCard
from pricing.quarter.limits import Calls, Fits, Limits
from pricing.quarter.period import Quarter
from pricing.quarter.worth import Effect, Level
from pricing.wording.plain import percent

CLOSE = 0.05  # of the price: within it a call is neither high nor low for a person


def calls_sentence(judged: Calls | None, currency: str) -> str | None:
    """How often the sale fell in the range, and where calls ran high or low; None without calls."""
    if judged is None or not judged.calls:
        return None
    n = len(judged.calls)
    promised = f"(I promise {percent(judged.coverage)})"
    sales = f"{n:,} sale{'s' if n != 1 else ''}"
    text = f"My price range caught {judged.n_caught:,} of {sales} {promised}; my estimates ran"
    far = max(judged.by_type, key=lambda line: abs(line[2]), default=None)
    if far is not None and abs(far[2]) >= 5:
        side = "high" if far[2] > 0 else "low"
        return f"{text} {money(abs(far[2]), currency)} {side} on {words.plural(far[0])}."
    if abs(judged.off) >= CLOSE:
        return f"{text} {abs(judged.off) * 100:.0f}% {'high' if judged.off > 0 else 'low'}."
    return f"{text} neither high nor low."


def calls_section(
    judged: Calls | None, currency: str, n_sold: int, answered: Table | None = None
) -> Section:
    """Estimates: caught or missed, best and worst calls; and what was answered at the time."""
    kept = [answered] if answered is not None else []
    key, title = "estimates", "Were the estimates right"
    if judged is None or not judged.calls:
        why = "No unit was sold in the quarter, so there was nothing to call."
        if n_sold:
            none = "the record before it holds no sale to learn from"
            why = f"No sale of the quarter could be called: {none}."
        return Section(key, title, [why], (), kept)
    intro = (
        "Each sale against the range that the record before the quarter would have given it, told"
        f" what the unit was and nothing that came later; learned from {judged.n_learned:,} sales."
    )
    if judged.of:
        intro += (
            f" A fair sample by month: {len(judged.calls):,} of the quarter's {judged.of:,} sales."
        )
    called = [("best", call) for call in judged.best] + [("worst", call) for call in judged.worst]
    columns: Sequence[Column] = (
        ("", lambda one: one[0], ""), ("Unit", lambda one: one[1].unit or "-", ""),
        ("Type", lambda one: one[1].type, ""), ("Called", lambda one: told(one[1].middle), "n"),
        ("Range", lambda one: f"{told(one[1].low)} to {told(one[1].high)}", ""),
        ("Paid", lambda one: one[1].price, "~"),
        ("Off", lambda one: f"{one[1].off * 100:+.0f}%", "n"),
    )  # fmt: skip

    def told(value: float) -> str:
        return limit(value, currency)

    tables = [in_columns("Three best and three worst calls", columns, called, currency)]
    if judged.by_type:
        each: Sequence[Column] = (
            ("Type", lambda line: line[0], ""), ("Sales", lambda line: line[1], "n"),
            ("A sale", lambda line: line[2], "~"),
        )  # fmt: skip
        caption = "Called less paid, on average"
        tables.append(in_columns(caption, each, judged.by_type, currency))
    from pricing.pages import charts

    says = calls_sentence(judged, currency) or ""
    picture = charts.calls(judged, currency)
    shown = Shown("Each sale against its range", says, _caught_table(judged), picture)
    return Section(key, title, [intro], [shown], [*tables, *kept])


def _caught_table(judged: Calls) -> Table:
    outside = len(judged.calls) - judged.n_caught
    rows = [["inside", str(judged.n_caught)], ["outside", str(outside)]]
    foot = [["all called", str(len(judged.calls))]]
    return Table("Caught by the range", ["", "Sales"], rows, foot, frozenset({1}))


def answered_table(card: ReportCard | None, quarter: Quarter) -> Table | None:
    """The answers given at the time whose units sold in the quarter: caught or not, and the tool
    against the person's own number."""
    if card is None:
        return None
    first, last = quarter.first, quarter.last
    here = replace(card, scored=tuple(one for one in card.scored if first <= one.sold <= last))
    if not here.scored:
        return None
    rows = [
        ("answers given whose unit sold in the quarter", str(len(here.scored))),
        ("of them the sale fell in the range I gave", str(here.n_caught)),
        ("my price was off by, usually", percent(here.off)),
        ("answers with your own number beside mine", str(len(here.both))),
    ]
    if here.both:
        whose = ("  mine was nearer", "  yours was nearer", "  both alike")
        rows += zip(whose, map(str, here.nearer), strict=True)
        off = ("  mine was off by, usually", "  yours was off by, usually")
        rows += zip(off, map(percent, here.off_both), strict=True)
    caption = "What I answered when you asked, and your own numbers"
    return Table(caption, ["", "Count"], rows, right=frozenset({1}))


def limits_section(limits: Limits | None, currency: str, fits: Fits | None = None) -> Section:
    """What was paid against the most that I would have said to pay."""
    title = "Paid against the limit"
    if limits is None or not limits.units:
        none = "No unit of the quarter can be judged: nothing was sold before it, or what you paid"
        return Section("limits", title, [f"{none} is not written.", *fits_words(fits or {})])
    over, within = limits.side(True), limits.side(False)
    rows = [side("within my limit", within, currency), side("over my limit", over, currency)]
    both = (over[0] + within[0], round(over[1] + within[1], 2), round(over[2] + within[2], 2))
    foot = [side("all judged", both, currency)]
    caption = "By the limit that pricing offer would have named"
    table = Table(caption, ["Paid", *SIDE], rows, foot, frozenset({1, 2, 3, 4}))
    intro = (
        "Each unit as it was told before the drive, judged by what the record knew before the"
        " quarter; below 0 they should have paid you."
    )
    rest, whole = rate_words(within, currency), rate_words(both, currency)
    says = (
        f"If you had passed on what was over my limit, you'd have left {over[0]} of {both[0]} and"
        f" kept {rest} on the rest (all of them: {whole})."
    )
    some = words.capital(words.units_word(limits.n_left))
    left = f"{some} could not be judged, or were left out to keep this quick."
    told = [intro, says, *([left] if limits.n_left else []), _said_and_was(limits, currency)]
    told += fits_words(fits or {})
    tables = [table, _by_month(limits, currency), *_furthest(limits, currency)]
    return Section("limits", title, told, (), tables)


def _said_and_was(limits: Limits, currency: str) -> str:
    """What the offers said of all judged units together, and what came."""

    def told(of: str) -> str:
        each = [getattr(one, of) for one in limits.units]
        fixed, kept, worked = (sum(getattr(x, y) for x in each) for y in ("fixed", "kept", "hours"))
        return f"{fixed:.0f} fixed, {money(kept, currency)} kept in {worked:.0f} hours"

    n, said = len(limits.units), told("said")
    return f"Before the drives I'd have said, of {n}: {said}. It was: {told('was')}."


def _by_month(limits: Limits, currency: str) -> Table:
    """Said and come, month by month, and how many sold within the days by which half should."""
    months = sorted({one.month for one in limits.units})
    records = [(month, [one for one in limits.units if one.month == month]) for month in months]

    def sums(name: str, of: str, only_fixed: bool = False) -> Callable[[Any], float]:
        return lambda record: sum(
            getattr(getattr(one, of), name) for one in record[1] if one.was.fixed or not only_fixed
        )

    def in_days(record: Any) -> str:
        pairs = [(one.was.days, one.said.days) for one in record[1]]
        known = [(was, said) for was, said in pairs if was is not None and said is not None]
        return f"{sum(was <= said for was, said in known)} of {len(known)}"

    columns: Sequence[Column] = (
        ("Month", lambda record: record[0], ""), ("Units", lambda record: len(record[1]), "n+"),
        ("Fixed, said", sums("fixed", "said"), "d+"), ("fixed", sums("fixed", "was"), "d+"),
        ("Parts, said", sums("parts", "said", True), "$+"),
        ("parts", sums("parts", "was", True), "$+"),
        ("Hours, said", sums("hours", "said"), "h+"), ("hours", sums("hours", "was"), "h+"),
        ("Kept, said", sums("kept", "said"), "$+"), ("kept", sums("kept", "was"), "$+"),
        ("Sold in my days", in_days, ""),
    )  # fmt: skip
    note = "Sold in my days: half should. Parts are those of the fixed ones."
    foot = {"Sold in my days": in_days(("", limits.units))}
    caption = "What the offers would have said, and what came"
    return in_columns(caption, columns, records, currency, "All", foot, wide=True, note=note)


def fits_words(fits: Fits) -> list[str]:
    """Settings that would have fitted the record, each with the command that takes it over."""
    return [
        f"Your record says {key} {value:g}, your settings {now:g} ({n} rows). To take it over:"
        f" pricing settings {key} {value:g}"
        for key, (now, value, n) in fits.items()
    ]


def _furthest(limits: Limits, currency: str) -> list[Table]:
    """The five units that were paid furthest over the limit; no table where none was."""
    over = [each for each in limits.units if each.over]
    dearest = sorted(over, key=lambda each: (each.limit - each.paid, each.unit))[:5]
    columns: Sequence[Column] = (
        ("Unit", lambda each: each.unit or "-", ""), ("Type", "type", ""), ("Paid", "paid", "~"),
        ("Limit", lambda each: limit(each.limit, currency), "n"), ("Kept", "profit", "$"),
        ("Hours", "hours", "h"),
    )  # fmt: skip
    return [in_columns("Furthest over the limit", columns, dearest, currency)] if dearest else []


def rate_words(side: tuple[int, float, float], currency: str) -> str:
    """`$41 an hour`, or nothing where no hour was worked."""
    return f"{money(side[1] / side[2], currency)} an hour" if side[2] > 0 else "nothing"


def prices_section(
    level: Level | None, worths: Sequence[Effect], currency: str, n_learned: int
) -> Section:
    """Prices: the level over time, and what a year, a grade and a feature are worth now."""
    if n_learned == 0:
        none = "No unit has been sold yet, so it is too early to say anything of prices."
        return Section("prices", "Prices", [none])
    few = "leaning on the starting figures where sales are few"
    paragraphs = [f"Learned from {n_learned:,} sales, {few}."]
    if level is None:
        paragraphs.append("Sales in fewer than three months: where prices go cannot be told yet.")
    shown = [] if level is None else [_level_shown(level)]
    tables = [_worth_table(worths, currency)] if worths else []
    return Section("prices", "Prices", paragraphs, shown, tables)


def _level_shown(level: Level) -> Shown:
    from pricing.pages import charts

    columns: Sequence[Column] = (
        ("Month", lambda i: level.months[i], ""), ("Level", lambda i: level.level[i] * 100, "d"),
        ("most", lambda i: f"{level.low[i] * 100:.0f} to {level.high[i] * 100:.0f}", ""),
        ("Sales", lambda i: int(level.n[i]), "n"),
    )  # fmt: skip
    title = "The same unit, month by month, the last month as 100"
    table = in_columns(title, columns, range(len(level.months)), "")
    picture = charts.price_level(level)
    return Shown("Where prices went", level_takeaway(level), table, picture)


def _worth_table(worths: Sequence[Effect], currency: str) -> Table:
    def amount(share: float, worth: Effect) -> str:
        return money(share * worth.usual, currency)

    def most(worth: Effect) -> str:
        return f"{amount(worth.low, worth)} to {amount(worth.high, worth)}"

    columns: Sequence[Column] = (
        ("What", "what", ""), ("On a usual", "on", ""),
        ("Worth", lambda worth: amount(worth.share, worth), "n"), ("Most", most, ""),
        ("Share of price", lambda worth: f"{worth.share * 100:+.0f}%", "n"),
        ("Own sales", "n", "n"),
        ("Clear?", lambda worth: "yes" if worth.clear else "too early to say", ""),
    )  # fmt: skip
    return in_columns("What it is worth now", columns, worths, currency)


def level_takeaway(level: Level) -> str:
    """The last month against a year before, else the first; "too early" where 100 is in range."""
    back = max(len(level.months) - 13, 0)
    was, low, high = level.level[back], level.low[back], level.high[back]
    month = level.months[back]
    if low <= 1 <= high:
        return f"Prices against {month}: too early to say whether they rose or fell."
    move = (1 / was - 1) * 100
    more = "more" if move > 0 else "less"
    return f"The same unit sells for about {abs(move):.0f}% {more} than in {month}."
