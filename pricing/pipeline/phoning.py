"""The story of the phone file: its table, where it was put last, writing it anew after a fit."""

import json
from datetime import date
from itertools import product
from pathlib import Path

from pricing.advice import ask, offer
from pricing.basis import files, words
from pricing.basis.home import Home
from pricing.basis.own_rows import assumed_types
from pricing.basis.problems import refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model import saved
from pricing.pages import phone
from pricing.pages.phone import TableCell

AGES, GRADES = (3.0, 7.0, 12.0), ("fair", "good")
MOST_TYPES = 30
NAME = "pricing-phone.html"


def write(home: Home, settings: Settings, as_of: date, out: Path | None = None) -> Path:
    """Write the phone file and remember where. out: a file, a folder, or None for the last place,
    else the home's reports. Raises Refused where nothing was learned yet, the folder is not there
    or cannot be written, or the file would be too large."""
    remembered = place(home)
    path = (out or remembered or home.reports / NAME).expanduser().absolute()
    if path.is_dir() or path.suffix.lower() not in (".html", ".htm"):
        path = path / NAME
    if out is not None and not path.parent.is_dir():
        fix = "make the folder first, or name another with --out"
        raise refused("the folder for the phone file is not there", fix, file=str(path.parent))
    numbers = saved.load(home)
    table = cells(numbers, settings, as_of)
    files.write_text(path, phone.page(numbers, settings, table, home.is_demo))
    if path != remembered:
        files.write_text(_memory(home), json.dumps({"out": str(path)}, ensure_ascii=False))
    return path


def rewrite(home: Home, settings: Settings, as_of: date) -> Path | None:
    """Write the file anew where it was put before; None if it never was, or that is away."""
    path = place(home)
    return write(home, settings, as_of) if path is not None and path.parent.is_dir() else None


def place(home: Home) -> Path | None:
    """Where the phone file was put last; None where it never was, or that note cannot be read."""
    try:
        kept = json.loads(_memory(home).read_bytes())
    except (OSError, ValueError):
        return None
    out = kept.get("out") if isinstance(kept, dict) else None
    return Path(out) if isinstance(out, str) and out else None


def _memory(home: Home) -> Path:
    return home.data / "phone.json"


def cells(numbers: saved.Saved, settings: Settings, as_of: date) -> list[TableCell]:
    """The table that needs no script: the person's own types first, commonest first, at three ages
    and two grades, the fault not told."""
    own = sorted(numbers.price.types, key=lambda name: (-numbers.price.types[name], name))
    types = dict.fromkeys([*filter(None, own), *assumed_types(settings)])
    asks = {"owner": words.canonical("owner", settings.owner, settings)} if settings.owner else {}
    said = list(product(list(types)[:MOST_TYPES], AGES, GRADES))
    asked = [Question(asks | {"type": x, "age": age, "condition": grade}) for x, age, grade in said]
    worth = ask.decide_many(asked, numbers, settings, as_of)
    limits = offer.decide_many(asked, numbers, settings, as_of)
    return [
        TableCell(*told, one.median, one.low, one.high, other.pay_up_to)
        for told, one, other in zip(said, worth, limits, strict=True)
    ]
