"""What a fit learned, in the person's words, how sure that is, and where guesses still lead."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Any

from pricing.formulas import selling
from pricing.pages.text import day, limit, money, wrap

if TYPE_CHECKING:
    from pricing.basis.settings import Settings
    from pricing.model.learned import Learned
    from pricing.pipeline.fit_source import OnTop
    from pricing.pipeline.fitting import Fitted

FEW = 8  # sales below which the starting figures still lead
STILL_A_GUESS = 0.25  # share of the doubt that own sales removed


def fit_lines(fitted: Fitted, settings: Settings) -> list[str]:
    """One screen: what it learned from, what buyers pay for, what moved, what is still a guess."""
    currency = settings.currency
    lines = wrap(f"Learned from {fitted.n_units:,} units, {fitted.n_sold:,} of them sold.")
    if (kept := fitted.kept) is not None:
        since = f"{kept.sales:,} sales up to {kept.learned}"
        lines += wrap(f"Only what changed was read; the rest was learned from {since}.")
    if fitted.on_top is not None:
        on_top, slips = on_top_lines(fitted.on_top), slip_lines(fitted, settings)
        return [*lines, *on_top, *slips, *_moved_lines(fitted, currency)]
    if fitted.n_sold == 0:
        none = "No sale yet: every answer rests on starting figures that nobody measured for your"
        return [*lines, *wrap(f"{none} area, and says GUESS.")]
    if fitted.n_sold < FEW:
        few = "That is few: the starting figures still lead. Every sale you add makes it yours"
        lines += wrap(f"{few} ({FEW} or more begin to tell).")
    lines += [*_type_lines(fitted), *_effect_lines(fitted, currency)]
    times = fitted.saved.saletime
    if times.n_listings:
        lines += ["", *wrap(f"Price drops seen: {selling.learned_from(times)}.")]
    lines += slip_lines(fitted, settings)
    if fitted.phone is not None:
        lines += ["", *wrap(f"The phone's file is up to date: {fitted.phone}")]
    return [*lines, *_moved_lines(fitted, currency)]


def _type_lines(fitted: Fitted) -> list[str]:
    """Sales by type, the six commonest, and the types that have one or two."""
    types = sorted(fitted.saved.price.types.items(), key=lambda pair: (-pair[1], pair[0]))
    few = [name for name, n in types if n < 3]
    named = ", ".join(f"{name} {n}" for name, n in types[:6])
    lines = ["", *wrap(f"Your sales: {named}{', …' if len(types) > 6 else ''}.")]
    if few:
        more = ", …" if len(few) > 6 else ""
        lines += wrap(f"Still thin (one or two sales): {', '.join(few[:6])}{more}.")
    return lines


def _effect_lines(fitted: Fitted, currency: str) -> list[str]:
    """What buyers pay for, with its range; nothing where nothing was learned of it."""
    of = fitted.learned[0].of if fitted.learned else ""
    if not of:
        return []
    lines = ["", *wrap(f"WHAT BUYERS PAY FOR: {of} (most: between)")]
    for one in fitted.learned:
        unclear = ""
        if one.low < 0 < one.high:
            unclear = " (too early to say)"
        elif one.removed <= STILL_A_GUESS:
            unclear = " (GUESS)"
        between = f"({one.low:+.0f}% to {one.high:+.0f}%){unclear}"
        lines += wrap(f"  {_said(one)}: {_signed(one.money, currency)} {between}", "    ")
    return lines


def _moved_lines(fitted: Fitted, currency: str) -> list[str]:
    moved = (one for one in fitted.moved if abs(one.now - one.before) >= 5)
    lines = [f"  {x.type}: {limit(x.before, currency)} -> {limit(x.now, currency)}" for x in moved]
    return ["", "SINCE THE LAST TIME", *lines] if lines else []


def on_top_lines(on_top: OnTop) -> list[str]:
    """What the numbers of a member's home rest on."""
    group, n = on_top.group, on_top.fresh
    own = f"moved by your {n} sale{'s' * (n != 1)} since" if n else "no sale of yours since"
    told = [
        f"Prices: the group's {group.sales:,} sales up to {day(group.day)}, {group.day.year},"
        f" {own}. Fix chances, parts, hours and days: the group's, as they were."
    ]
    if on_top.earlier:
        before = f"{on_top.earlier} of yours sold before that day"
        told.append(f"{before}: they are in the group's numbers already.")
    if on_top.other_settings:
        told.append("Your settings differ from those the group's numbers were learned with.")
    alone = "remove the folder data/group and run pricing fit"
    told.append(f"To learn from your own rows alone, {alone}.")
    return [line for text in told for line in wrap(text)]


def slip_lines(
    fitted: Fitted, settings: Settings, most: int = 5, without: Collection[str] = ()
) -> list[str]:
    """Prices and ages that look like slips, with what was probably meant; they stay in, with little
    say. without: units that are asked about already."""
    slips = [one for one in fitted.slips if one.unit not in without]
    if not slips:
        return []
    currency = settings.currency
    lines = ["", "CHECK THESE (still in your totals)"]
    for one in slips[:most]:
        value, meant = (_figure(number, one.column, currency) for number in (one.value, one.likely))
        likely = f" Did you mean {meant}?" if meant else ""
        lines += wrap(f"  unit {one.unit}, {one.column} {value}.{likely}", "    ")
    more = len(slips) - most
    return [*lines, f"  and {more} more"] if more > 0 else lines


def fit_json(fitted: Fitted) -> dict[str, Any]:
    """The JSON of `fit --json`."""
    told: dict[str, Any] = {
        "model": str(fitted.path),
        "units": fitted.n_units,
        "sold": fitted.n_sold,
        "types": dict(fitted.saved.price.types),
        **{name: list(map(vars, getattr(fitted, name))) for name in ("learned", "slips", "moved")},
        "ask_effect_from": selling.learned_from(fitted.saved.saletime),
    }
    if fitted.on_top is None:
        return told
    group = {**vars(fitted.on_top.group), "day": fitted.on_top.group.day.isoformat()}
    return told | {"on_top_of": group, "own_sales_since": fitted.on_top.fresh}


def _figure(value: float | None, column: str, currency: str) -> str:
    """A price as money, an age as a number, "" for none."""
    return "" if value is None else money(value, currency) if column == "price" else f"{value:g}"


def _said(one: Learned) -> str:
    """Makers by their names, with a capital."""
    return one.what[:1].upper() + one.what[1:] if one.kind == "maker" else one.what


def _signed(value: float, currency: str) -> str:
    return f"{'+' if value > 0 else ''}{money(value, currency)}"
