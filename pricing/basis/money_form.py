"""How amounts of a currency are written: `money_forms.json`, made from Babel."""

import json
from functools import cache
from pathlib import Path
from typing import Any


class Currency(str):
    """The code of a currency, and the name of the form in which its amounts are written."""

    form = "en_US"


def in_form(code: str, decimal: str, told: str) -> Currency:
    """A currency in the form that the settings name, else one by the decimal mark and the currency.

    >>> [in_form(*one).form for one in (("EUR", ",", "auto"), ("INR", ".", "auto"))]
    ['de_DE', 'en_IN']
    """
    made = Currency(code)
    usual = "de_DE" if decimal == "," else "en_IN" if code.upper() == "INR" else "en_US"
    made.form = usual if told == "auto" else told
    return made


@cache
def tables() -> dict[str, Any]:
    """Forms by name, signs and decimals by currency."""
    return dict(json.loads(Path(__file__).with_name("money_forms.json").read_text("utf-8")))


def place_of_money(currency: str) -> dict[str, Any]:
    """The form of amounts as `wording.plain` asks for it: ¤ of the table is the sign here.

    >>> place_of_money("EUR")["more"], place_of_money(in_form("EUR", ",", "auto"))["point"]
    ('€#', ',')
    """
    code, told = currency.upper(), tables()
    sign = told["signs"].get(code, code)
    # a sign of letters stands apart from the digits (CLDR, currencySpacing)
    near = f"{sign}\u00a0" if sign[-1].isalpha() else sign
    form = told["forms"][getattr(currency, "form", "en_US")]
    both = {to: form[to].replace("¤#", f"{near}#").replace("¤", sign) for to in ("more", "less")}
    return form | both | {"sign": near}


def decimals(currency: str) -> int:
    """How many decimals its amounts have: minor units of ISO 4217, list one."""
    return int(tables()["decimals"].get(currency.upper(), 2))
