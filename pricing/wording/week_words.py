"""This week's money against that of the weeks before it, in words and as bars."""

from typing import Any

from pricing.wording.plain import count, day, fixed, hours, money

WIDTH, TALL, ABOVE, BELOW = 320.0, 60.0, 18.0, 20.0


def view(table: dict[str, Any], place: dict[str, Any]) -> dict[str, Any]:
    """What was kept since Monday, what a week before it kept on average, and each week's bar."""
    weeks = table["weeks"]
    now = weeks[len(weeks) - 1]
    said = f"Kept this week: {money(now['profit'], place)}"
    if now["n_sold"] or now["hours"] > 0:
        said += f", {count(now['n_sold'], 'unit')} sold, {hours(now['hours'])}"
    before = count(len(weeks) - 1, "week")
    return {
        "headline": f"{said}.",
        "before": f"The {before} before: {money(table['usual'], place)} a week.",
        "weeks": [[day(week["first"]), money(week["profit"], place)] for week in weeks],
        "bars": bars(
            [week["profit"] for week in weeks],
            [day(week["first"]) for week in weeks[0 : len(weeks) - 1]] + ["this week"],
            place,
        ),
    }


def earned(profit: float, worked: float, place: dict[str, Any]) -> str:
    """What a unit that ended brought.

    >>> earned(84.0, 2.0, {"sign": "$", "hourly_target": 30.0})
    'Kept $84 in 2 hours: $42 an hour; you want $30.'
    >>> earned(-14.0, 2.0, {"sign": "$", "hourly_target": 30.0})
    'Lost $14, and 2 hours.'
    """
    if profit < 0:
        return f"Lost {money(-profit, place)}" + (f", and {hours(worked)}." if worked > 0 else ".")
    if worked <= 0:
        return f"Kept {money(profit, place)}."
    an_hour, want = money(profit / worked, place), money(place["hourly_target"], place)
    return f"Kept {money(profit, place)} in {hours(worked)}: {an_hour} an hour; you want {want}."


def bars(values: list[float], names: list[str], place: dict[str, Any]) -> str:
    """Bars from one zero line, each with its amount and its name below; the last is the newest.

    >>> bars([10.0], ["this week"], {"sign": "$"})[:4]
    '<svg'
    """
    top, bottom = max([*values, 1.0]), min([*values, 0.0])
    per = TALL / (top - bottom)
    zero = ABOVE + top * per
    each = WIDTH / len(values)
    tall = ABOVE + TALL + BELOW + (14.0 if bottom < 0 else 0.0)
    out = [
        f'<svg class="weeks" viewBox="0 0 {fixed(WIDTH, 0)} {fixed(tall, 0)}" aria-hidden="true"'
        ' focusable="false">'
    ]
    for i, value in enumerate(values):
        x, high = each * i + each / 2, max(abs(value) * per, 0.5)
        y = zero - high if value >= 0 else zero
        kind = "now" if i == len(values) - 1 else "past"
        out.append(
            f'<rect class="{kind}" x="{fixed(x - 14, 1)}" y="{fixed(y, 1)}" width="28"'
            f' height="{fixed(high, 1)}"/>'
        )
        at = y - 5 if value >= 0 else y + high + 13
        out.append(_words(x, at, money(value, place)))
        out.append(_words(x, tall - 5, names[i]))
    line = f'<path class="axis" d="M0 {fixed(zero, 1)}H{fixed(WIDTH, 0)}"/>'
    return "".join([*out, line, "</svg>"])


def _words(x: float, y: float, said: str) -> str:
    return f'<text x="{fixed(x, 1)}" y="{fixed(y, 1)}" text-anchor="middle">{said}</text>'
