"""Makes pricing/basis/money_forms.json from Babel (CLDR): how amounts are written, the signs of currencies
and their decimals. Babel itself takes longer to import than an answer may.

    python tests/compile_money.py
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from babel import Locale
from babel.numbers import get_currency_precision, get_currency_symbol, list_currencies

PLACE = Path(__file__).parents[1] / "pricing" / "basis" / "money_forms.json"
FORMS = (
    "en_US",
    "en_IN",
    "en_ZA",
    "de_DE",
    "fr_FR",
    "es_ES",
    "it_IT",
    "nl_NL",
    "pl_PL",
    "pt_BR",
    "sv_SE",
    "ja_JP",
)
# a sign is the one of its own country, where it is plain; of all others that of American English
OWN = {"CAD": "en_CA", "AUD": "en_AU", "NZD": "en_NZ", "ZAR": "en_ZA", "BRL": "pt_BR", "MXN": "es_MX", "SEK": "sv_SE",
    "NOK": "nb_NO", "DKK": "da_DK", "PLN": "pl_PL", "CZK": "cs_CZ", "HUF": "hu_HU", "TRY": "tr_TR"}  # fmt: skip


def plain(text: str) -> str:
    """Narrow spaces as plain ones that do not break: a console of code page 850 has no narrow ones."""
    return text.replace("\u202f", "\u00a0")


def sign(currency: str) -> str:
    """The sign of an amount, the code where there is none."""
    return get_currency_symbol(currency, locale=OWN.get(currency, "en_US"))


def form(name: str) -> dict[str, Any]:
    """The form of one language and country: ¤ is the sign, # the digits."""
    locale = Locale.parse(name)
    pattern, symbols = locale.currency_formats["standard"], locale.number_symbols["latn"]

    def template(place: int) -> str:
        return plain(f"{pattern.prefix[place]}#{pattern.suffix[place]}")

    return {
        "group": plain(symbols["group"]), "point": symbols["decimal"], "second": pattern.grouping[1],
        "more": template(0), "less": template(1),
    }  # fmt: skip


def table() -> dict[str, Any]:
    """Forms by name, signs that are not the code, decimals that are not two."""
    signs = {code: sign(code) for code in sorted(list_currencies())}
    places = {code: get_currency_precision(code) for code in signs}
    return {
        "forms": {name: form(name) for name in FORMS},
        "signs": {code: one for code, one in signs.items() if one != code},
        "decimals": {code: n for code, n in places.items() if n != 2},
    }


if __name__ == "__main__":
    PLACE.write_text(json.dumps(table(), ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
