"""One HTML file that answers on the phone with no signal: the fitted numbers, the formulas in plain
JavaScript, and a table for where scripts are off.

Every number that the scripts work with travels in the file as JSON from the very constants that the
Python answers with; deflated, it takes under half the bytes. The page's policy forbids to fetch.
"""

import base64
import hashlib
import html
import json
import re
import zlib
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

from pricing.advice import ask, costs, listing
from pricing.basis import assumed, columns, question, words
from pricing.basis.frozen import frozen
from pricing.basis.home import DEMO_MARK
from pricing.basis.own_rows import assumed_faults, assumed_types, generic_type, rate
from pricing.basis.problems import refused
from pricing.basis.settings import Settings
from pricing.model import numbers, own_words, points
from pricing.model.price import member, price, ranges, similar
from pricing.model.repair import repair
from pricing.model.saletime import saletime
from pricing.model.saved import Saved
from pricing.pages.laid_out import place_of
from pricing.pages.text import money
from pricing.words import tables

LARGEST = 1_200_000  # bytes of the whole file: what mail and a phone take without thinking
FOLDER = Path(__file__).with_name("phone_page")
ENGINE = (
    "wording", "formulas", "gate", "reader", "numbers", "words", "near", "price", "explain",
    "similar", "repair", "saletime", "plan", "listing", "pairs", "ask", "ask_first",
    "offer_parts", "offer", "question", "calls",
)  # fmt: skip
PAGE = ("form", "answers", "view")
OPENS = ("inflate", "opens")
_TOO_LARGE = "join types, makers or faults that mean the same, under [words] in pricing.toml"


@frozen
class TableCell:
    """One entry of the table without scripts: money."""

    type: str
    age: float
    condition: str
    price: float
    low: float
    high: float
    pay_up_to: float


def engine() -> str:
    """The formulas, one script."""
    return _scripts(ENGINE)


def _scripts(names: Sequence[str]) -> str:
    return "\n".join((FOLDER / f"{name}.js").read_text(encoding="utf-8") for name in names)


def page(saved: Saved, settings: Settings, cells: Sequence[TableCell], demo: bool = False) -> str:
    """The whole file, marked where its record is invented. Raises Refused where it would be too
    large for a phone."""
    # The program travels as the numbers do: a small script opens it, and the policy allows both
    script, program = _scripts(OPENS), _scripts((*ENGINE, *PAGE))
    style = (FOLDER / "page.css").read_text(encoding="utf-8")
    told = given(saved, settings)
    body = json.dumps(told, allow_nan=False, separators=(",", ":"), ensure_ascii=False)
    scripts = f"script-src '{_hash(script)}' '{_hash(program)}'"
    allowed = f"{scripts}; style-src '{_hash(style)}'"
    filled = {
        "POLICY": f"default-src 'none'; {allowed}; base-uri 'none'; form-action 'none'",
        "STYLE": style,
        "DEMO": f'<strong class="demo">{DEMO_MARK}</strong>' * demo,
        "TABLE": table(cells, settings),
        "FIT": f"{saved.as_of:%B} {saved.as_of.day}, {saved.as_of.year}",
        "SALES": f"{saved.price.n} sale{'s' * (saved.price.n != 1)}",
        "PROGRAM": _deflated(program),
        "NUMBERS": _deflated(body),
        "SCRIPT": script,
    }
    text = (FOLDER / "page.html").read_text(encoding="utf-8")
    # One pass: what the numbers hold is never taken for a place to fill
    text = re.sub(r"%([A-Z]+)%", lambda place: filled[place[1]], text)
    size = len(text.encode())
    if size > LARGEST:
        what = f"the phone file would be {size / 1e6:.1f} MB, more than {LARGEST / 1e6:.1f} MB"
        raise refused(what, _TOO_LARGE)
    return text


def _deflated(text: str) -> str:
    return base64.b64encode(zlib.compress(text.encode(), 9)).decode()


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def table(cells: Sequence[TableCell], settings: Settings) -> str:
    """What a unit brings and the most to pay for a broken one, by type, age, condition, as HTML."""

    def told(value: float) -> str:
        return money(value, settings.currency, 5.0)

    heads = (("Age, condition", ""), ("Sells for", "r"), ("Range", "r"), ("Pay up to", "r"))
    head = "".join(f"<th scope='col' class='{look}'>{title}</th>" for title, look in heads)
    rows: dict[str, str] = {}
    for cell in cells:
        first = f"{cell.age:g} years, {html.escape(cell.condition)}"
        span = f"{told(cell.low)}–{told(cell.high)}"
        figures = (told(cell.price), span, told(cell.pay_up_to))
        row = "".join(f"<td class='r'>{figure}</td>" for figure in figures)
        row = f"<tr><th scope='row'>{first}</th>{row}</tr>"
        rows[cell.type] = rows.get(cell.type, "") + row
    return "\n".join(
        f"<details><summary>{html.escape(name)}</summary><table><thead><tr>{head}</tr></thead>"
        f"<tbody>{body}</tbody></table></details>"
        for name, body in rows.items()
    )


# ---- What the phone's scripts are given: numbers, constants, settings, past sales, words to pick
KEPT_SETTINGS = (
    "currency", "distance_unit", "cost_per_distance", "average_speed", "minutes_per_trip",
    "hourly_target", "selling_fee_share", "selling_fee_fixed", "short_of", "decimal",
    "holding_cost_per_day", "clear_after_days", "clear_share", "scrap_price_per_weight",
    "weight_unit", "region", "comebacks_of_100", "comeback_cost", "comeback_hours",
    "cautious_loss_chance", "coverage",
)  # fmt: skip
OF_FORMULAS: tuple[tuple[ModuleType, tuple[str, ...]], ...] = (
    (points, ("N_POINTS", "GENERATOR")),
    (assumed, ("DUD_SD", "BENCH_DAYS", "USUAL_PAID_SHARE")),
    (price, ("CUT", "MOST_SPREAD")),
    (costs, ("DAYS_AHEAD",)),
    (listing, (
        *("RATIOS", "STATES", "BUYER_POINTS", "SHAPE_POINTS", "BUYER_WEIGHTS", "SHAPE_WEIGHTS"),
    )),
    (saletime, ("SCALES", "POWER_MOST")),
    (ask, ("TOLD_SD",)),
    (ranges, ("COVERAGES",)),
    (similar, ("LOOKED_AT",)),
)  # fmt: skip
MOST_WORDS = 60  # makers, features and places offered in a pick list


def given(saved: Saved, settings: Settings) -> dict[str, Any]:
    """Numbers of the fit, constants of the formulas, settings, and the words for the pick lists."""
    fitted = {
        "as_of": saved.as_of.isoformat(),
        "price": price.as_numbers(saved.price),
        "repair": repair.as_numbers(saved.repair),
        "saletime": saletime.as_numbers(saved.saletime),
        "spot_a_day": saved.spot_a_day,
        "similar": saved.similar,
        "people": member.told_apart(saved.price),
        "named": saved.words.get("owner", []),
    }
    told = {"numbers": fitted, "constants": constants(settings), "settings": _settings(settings)}
    told |= {"picks": picks(saved, settings), "heard": heard(saved, settings)}
    return numbers.plain(told)


def heard(saved: Saved, settings: Settings) -> dict[str, Any]:
    """The tables of the reader of plain words, the own words, and what makes it a question."""
    known = own_words.known_words(saved)
    return {
        "said": tables.compiled("said"),
        "own": own_words.own_words(settings, known),
        "trade": {**assumed.trade_words(), "faults": list(known["fault"])},
        "blank": sorted(words.BLANK_WORDS),
    }


def _settings(settings: Settings) -> dict[str, Any]:
    owner = words.canonical("owner", settings.owner, settings) if settings.owner else ""
    kept = {name: getattr(settings, name) for name in KEPT_SETTINGS}
    # the formula moves the table's money with a price in dollars
    kept["scrap_price_per_weight"] = settings.scrap_price_per_weight / rate(settings)
    return kept | {
        "new_price": dict(settings.new_price),
        "place": place_of(settings),
        "hour_worth": settings.hour_worth,
        "attributes": list(settings.attributes),
        "owner": owner,
    }


def picks(saved: Saved, settings: Settings) -> dict[str, Any]:
    """Words to pick from, the person's own first; own attributes with their kind."""

    def read_by(name: str) -> list[str]:
        """The words of a column that the price model knows."""
        known = (one for one in saved.price.encoding.margins if one.column == name)
        read = (one.labels for one in known if one.kind in ("word", "words", "steps", "doubt"))
        return [label for labels in read for label in labels if label]

    def known(name: str, *more: str) -> list[str]:
        return list(dict.fromkeys([*read_by(name), *more]))[:MOST_WORDS]

    sold = saved.price.types
    types = [name for name in sorted(sold, key=lambda name: (-sold[name], name)) if name]
    return {
        "type": list(dict.fromkeys([*types, *assumed_types(settings)])),
        "maker": sorted(known("maker", *filter(None, saved.repair.heard.get("maker", {})))),
        "features": sorted(known("features", *assumed.FEATURE_EFFECT)),
        "repair": sorted(read_by("repair"))[:MOST_WORDS],
        "size": any(margin.column == "size" for margin in saved.price.encoding.margins),
        "own": {
            name: {"kind": kind, "words": [] if kind in ("number", "log") else known(name)}
            for name, kind in settings.attributes.items()
        },
    }


def constants(settings: Settings) -> dict[str, Any]:
    """Every constant of the formulas, from the modules that use it."""
    return _tables(settings) | _limits(settings) | _formulas()


def _formulas() -> dict[str, Any]:
    """Numbers that are the same in every home, by their names in small letters."""
    given = {name.lower(): getattr(of, name) for of, names in OF_FORMULAS for name in names}
    return given | {"fault_words": words.column_words("fault")}


def _tables(settings: Settings) -> dict[str, Any]:
    """The starting tables, in the person's money, and those of cautions."""
    faults, types = assumed_faults(settings), assumed_types(settings)
    return {
        "types": [_without(vars(row), "holds", "hookup") for row in types.values()],
        "generic_type": vars(generic_type(settings)),
        "faults": [_without(vars(row), "findings") for row in faults],
        "n_own_faults": len(faults) - len(assumed.FAULTS),
        "plain_kinds": {
            row.type: assumed.plain_kinds(row.type)
            for row in assumed.PLAIN_TYPES
            if row.type not in {**settings.assumed_types, **settings.usual_price}
        },
        "any_faults": sorted(assumed.ANY_FAULTS),
        "told_shares": {kind: assumed.told_shares(kind) for kind in types},
        "families": {row.type: row.family for row in assumed.TYPES},
        "own_families": {
            name: row["family"] for name, row in settings.assumed_types.items() if row.get("family")
        },
        "family_signs": [[family, sorted(signs)] for family, signs in words.FAMILY_SIGNS],
        "cautions": [_without(row, "part_out", "go_on") for row in tables.rows("cautions")],
        "perils": tables.rows("perils"),
    }


def _without(row: Mapping[str, Any], *names: str) -> dict[str, Any]:
    return {name: value for name, value in row.items() if name not in names}


def _limits(settings: Settings) -> dict[str, Any]:
    """What each column holds, and between what."""
    numeric = filter(columns.is_numeric, columns.BY_NAME)
    limits = {known.name: [known.low, known.high] for known in question.KNOWN}
    return {
        "numeric": [*numeric, *settings.number_attributes],
        "conditions": columns.CONDITIONS,
        "limits": limits | {name: list(ends) for name, ends in question.UNIT_LIMITS.items()},
        "known": list(question.BY_KNOWN),
        "oldest_made": question.OLDEST_MADE,
    }
