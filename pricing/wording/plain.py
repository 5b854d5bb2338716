"""Money, chances, ranges, days and counts as a person writes them: one form for each."""

from typing import Any

MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def grouped(digits: str, mark: str, second: int) -> str:
    """Digits in groups from the right: three, then `second` each.

    >>> grouped("1234567", ",", 2), grouped("1234567", ".", 3), grouped("12", ".", 3)
    ('12,34,567', '1.234.567', '12')
    """
    out = ""
    left = len(digits)
    size = 3
    while left > size:
        out = f"{mark}{digits[left - size : left]}{out}"
        left -= size
        size = second
    return f"{digits[0:left]}{out}"


def fixed(value: float, places: int) -> str:
    """A number with so many decimals, halves to the even digit.

    >>> fixed(3.25, 1), fixed(-0.96, 1), fixed(12, 0)
    ('3.2', '-1.0', '12')
    """
    scale = 1
    for _ in range(places):
        scale = scale * 10
    whole = round(abs(value) * scale)
    digits = str(whole)
    while len(digits) <= places:
        digits = f"0{digits}"
    end = len(digits) - places
    sign = "-" if value < 0 and whole > 0 else ""
    return f"{sign}{digits[0:end]}" + (f".{digits[end:]}" if places > 0 else "")


def short(value: float, places: int) -> str:
    """The same without needless zeros: 8 years, 7.5 years.

    >>> short(8.0, 1), short(7.5, 1), short(12.0, 2)
    ('8', '7.5', '12')
    """
    text = fixed(value, places)
    if places > 0:
        while text.endswith("0"):
            text = text[0 : len(text) - 1]
        if text.endswith("."):
            text = text[0 : len(text) - 1]
    return text


def money(value: float, place: dict[str, Any]) -> str:
    """Money to the whole, the sign before the currency: $1,234, -$13."""
    return in_steps(value, 1, place)


def limit(value: float, place: dict[str, Any]) -> str:
    """Limits and expected prices, to 5; small sums to 1."""
    return money(to_limit(value), place)


def to_limit(value: float) -> float:
    """A limit or expected price as it is shown."""
    step = 5 if abs(value) >= 20 else 1
    return round(value / step) * step


def down(value: float) -> float:
    """The most to pay as it is shown: rounded down, to 5 from 20 up, else to 1. Verdicts are made
    from this number, so that nobody reads PASS at 49 beside "pay up to 50".

    >>> [down(52.3), down(48.6), down(3.9), down(-30.2)]
    [50, 45, 3, -31]
    """
    step = 5 if value >= 20 else 1
    steps = int(value / step + 1e-9)
    if steps * step > value + 1e-6:
        steps = steps - 1
    return steps * step


def most_to_pay(value: float, place: dict[str, Any]) -> str:
    """A limit, rounded down."""
    return in_steps(down(value), 1, place)


def in_steps(value: float, step: int, place: dict[str, Any]) -> str:
    """Money to the nearest whole step, in the form of the person's money."""
    whole = round(abs(value) / step) * step
    digits = grouped(str(whole), place.get("group", ","), place.get("second", 3))
    more = place.get("more", f"{place['sign']}#")
    less = place.get("less", f"-{place['sign']}#")
    return (less if value < 0 and whole > 0 else more).replace("#", digits)


def spread(low: float, high: float, place: dict[str, Any]) -> str:
    """A range of money: $115 to $195."""
    return f"{limit(low, place)} to {limit(high, place)}"


def percent(share: float) -> str:
    """A chance, never said surer than it is.

    >>> [percent(share) for share in (0.0, 0.004, 0.25, 0.934, 0.999, 1.0)]
    ['0%', 'under 1%', '25%', '93%', 'over 99%', '100%']
    """
    if 0 < share < 0.01:
        return "under 1%"
    if 0.99 < share < 1:
        return "over 99%"
    return f"{round(share * 100)}%"


def day(iso: str) -> str:
    """A day as a person says it.

    >>> day("2026-04-30")
    'Apr 30'
    """
    return f"{MONTHS[int(iso[5:7]) - 1]} {int(iso[8:10])}"


def day_and_year(iso: str, today: str) -> str:
    """A day, with its year where that is another one than today's."""
    return day(iso) if iso[0:4] == today[0:4] else f"{day(iso)}, {iso[0:4]}"


def count(n: float, word: str) -> str:
    """A count with its word.

    >>> count(1, "day"), count(1200.0, "day"), count(-138.0, "day")
    ('1 day', '1,200 days', '-138 days')
    """
    sign = "-" if round(n) < 0 else ""
    return f"{sign}{grouped(str(abs(round(n))), ',', 3)} {word}" + ("" if round(n) == 1 else "s")


def hours(value: float) -> str:
    """Hours to a tenth: 1 hour, 3.3 hours."""
    text = short(value, 1)
    return f"{text} hour" if text == "1" else f"{text} hours"


def sentence(text: str) -> str:
    """A capital at the beginning and one stop at the end.

    >>> sentence("no age told.."), sentence("how old is it?")
    ('No age told.', 'How old is it?')
    """
    while text and text[len(text) - 1] in ". ":
        text = text[0 : len(text) - 1]
    end = "" if not text or text[len(text) - 1] in "?!" else "."
    return f"{text[0:1].upper()}{text[1:]}{end}"


def names(words: list[str]) -> str:
    """A list in a sentence.

    >>> names(["a belt"]), names(["a belt", "a fuse", "rollers"])
    ('a belt', 'a belt, a fuse and rollers')
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[0 : len(words) - 1])} and {words[len(words) - 1]}"


def legend(standings: list[str]) -> list[str]:
    """What YOURS, PART and GUESS mean, each by the first of them that stands on the screen.

    >>> legend(["GUESS", "PART (5)", "PART (2+7)"])[0]
    'PART (5): partly from 5 of yours, partly a starting figure.'
    """
    meant = {
        "YOURS": "from own of your own, and like of like kinds.",
        "PART": "partly from own of yours and like of like kinds, partly a starting figure.",
        "GUESS": "a starting figure; nobody measured it for your area.",
    }
    return [
        f"{found[0]}: {_counted(said, found[0])}"
        for word, said in meant.items()
        for found in [[one for one in standings if one.startswith(word)]]
        if found
    ]


def _counted(said: str, standing: str) -> str:
    counts = standing[0 : len(standing) - 1].split("(")[-1].split("+")
    if len(counts) < 2:
        said = said.replace(", and like of like kinds", "").replace(" and like of like kinds", "")
        return said.replace("own of", f"{counts[0]} of")
    return said.replace("own of", f"{counts[0]} of").replace("like of", f"{counts[1]} of")


def guess(standing: str) -> list[str]:
    """Said on the first screen where the price rests on no sale of the person's."""
    return ["A GUESS: none of your own sales yet."] if standing == "GUESS" else []


def whose(standing: str) -> str:
    """YOURS, PART or GUESS in a sentence.

    >>> whose("PART (10)"), whose("YOURS (35+43)"), whose("GUESS")
    ('partly a guess', 'all yours', 'a guess')
    """
    if standing.startswith("YOURS"):
        return "all yours"
    return "partly a guess" if standing.startswith("PART") else "a guess"


def facts(rows: list[list[str]], title: str = "") -> dict[str, Any]:
    """Rows of [label, number, range or why, standing]."""
    return {"name": "numbers", "title": title, "form": "facts", "rows": rows}


def table(name: str, title: str, heads: list[str], rows: list[list[str]]) -> dict[str, Any]:
    """Columns of words, the first one left, the others right."""
    return {"name": name, "title": title, "form": "table", "heads": heads, "rows": rows}


def text(name: str, title: str, lines: list[str]) -> dict[str, Any]:
    """Sentences under a title."""
    return {"name": name, "title": title, "form": "text", "lines": lines}


def added(
    terms: list[list[Any]], total: float, said: str, place: dict[str, Any]
) -> list[list[str]]:
    """Amounts as printed, the total as printed elsewhere, and what rounding makes of them as a row.

    >>> added([["sale", 99.6], ["drive", -0.3]], 95, "most", {"sign": "$"})
    [['sale', '$100'], ['rounding', '-$5'], ['= most', '$95']]
    """
    rows = [[name, money(amount, place)] for name, amount in terms if round(amount) != 0]
    left = total - sum([round(amount) for _, amount in terms])
    rounding = [["rounding", money(left, place)]] if round(left) != 0 else []
    return [*rows, *rounding, [f"= {said}", money(total, place)]]


def need(rank: int, said: str) -> dict[str, Any]:
    """One sentence of the first screen; 9 never goes."""
    return {"text": said, "need": rank}


def reminders(cautions: list[str]) -> list[dict[str, Any]]:
    """Cautions of the first screen: one before other things, the rest as far as there is room."""
    ranks = [6, 3] + [1 for _ in cautions]
    return [need(ranks[i], cautions[i]) for i in range(len(cautions))]


def mark(sign: str, at: float, words: str, said: str) -> dict[str, Any]:
    """One number on the money line. sign: tag, ceiling, floor, disc or square."""
    return {"sign": sign, "at": at, "words": words, "said": said}


def own_fixed(fixed_of: dict[str, Any]) -> str:
    """How many like it the person fixed, as a count."""
    if fixed_of["ended"]:
        return f"you fixed {fixed_of['fixed']} of {fixed_of['ended']}"
    if fixed_of["other_types"]:
        return f"none yet on this type; {fixed_of['other_types']} on others"
    return "none of yours yet"


def likely(repairs: list[dict[str, Any]], place: dict[str, Any]) -> list[dict[str, Any]]:
    """What it may need, as a table; a unit whose repair is told needs none."""
    rows = [[one["repair"], percent(one["chance"]), money(one["parts"], place)] for one in repairs]
    if len(rows) < 2:
        return []
    found = table("likely", "Likely needs", ["repair", "chance", "parts"], rows[0:5])
    found["shares"] = [one["chance"] for one in repairs[0:5]]
    return [found]
