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
from collections.abc import Sequence
from pathlib import Path

from pricing.basis.frozen import frozen
from pricing.basis.home import DEMO_MARK
from pricing.basis.problems import refused
from pricing.basis.settings import Settings
from pricing.model.saved import Saved
from pricing.pages.phone_given import given
from pricing.pages.text import money

LARGEST = 1_200_000  # bytes of the whole file: what mail and a phone take without thinking
FOLDER = Path(__file__).with_name("phone_page")
ENGINE = (
    "wording", "formulas", "gate", "reader", "numbers", "words", "near", "price", "explain",
    "similar", "repair", "saletime", "plan", "listing", "pairs", "ask", "ask_first",
    "offer_parts", "offer", "question", "calls",
)  # fmt: skip
PAGE = ("inflate", "form", "answers", "view")
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
    script = _scripts((*ENGINE, *PAGE))
    style = (FOLDER / "page.css").read_text(encoding="utf-8")
    told = given(saved, settings)
    body = json.dumps(told, allow_nan=False, separators=(",", ":"), ensure_ascii=False)
    allowed = f"script-src '{_hash(script)}'; style-src '{_hash(style)}'"
    filled = {
        "POLICY": f"default-src 'none'; {allowed}; base-uri 'none'; form-action 'none'",
        "STYLE": style,
        "DEMO": f'<strong class="demo">{DEMO_MARK}</strong>' * demo,
        "TABLE": table(cells, settings),
        "FIT": f"{saved.as_of:%B} {saved.as_of.day}, {saved.as_of.year}",
        "SALES": f"{saved.price.n} sale{'s' * (saved.price.n != 1)}",
        "NUMBERS": base64.b64encode(zlib.compress(body.encode(), 9)).decode(),
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
