"""Words one slip away from a known one, and whether a word is known at all."""

from __future__ import annotations

from typing import Any

from pricing.words.sayings import near_word, stem
from pricing.words.tokens import Table, Token, Tokens


def mend_typos(tokens: Tokens, tables: Table, own: Table) -> list[Any]:
    """Words one slip away from a known one are read as it; what was done comes back."""
    done: list[Any] = []
    mine = _words_of(own)
    for one in tokens:
        word = one["w"]
        if one["n"] is not None or word in mine:
            continue
        if word in tables["typos"]:
            one["w"] = tables["typos"][word]
            if len(word) > 3:
                done.append({"said": one["t"], "read": one["w"]})
        elif _may_be_slip(one, tables):
            near = near_word(stem(word), tables, len(word))
            if near == "":
                near = near_word(word, tables)
            if word.endswith("in") and known(word + "g", tables):  # "leakin", "askin"
                one["w"] = word + "g"
            elif near != "":
                one["w"] = near
                done.append({"said": one["t"], "read": near})
    return done


def _may_be_slip(one: Token, tables: Table) -> bool:
    word = one["w"]
    if len(word) < 4 or known(word, tables) or word in tables["makers"] or not word.isalpha():
        return False
    return not one["cap"] or bool(one["t"].isupper())


def _words_of(own: Table) -> dict[str, bool]:
    """The words of the person's own names: none of them is a slip."""
    mine: dict[str, bool] = {}
    for kind in ("makers", "types", "faults", "repairs", "features"):
        for said in list(own.get(kind, {})):
            for word in said.split(" "):
                mine[word] = True
    return mine


def known(word: str, tables: Table) -> bool:
    """Whether the word is in any table."""
    if word in tables["idle_words"] or word in tables["same"] or word in tables["filler"]:
        return True
    if "known_words" not in tables:
        tables["known_words"] = dict.fromkeys(tables["known"].split(" "), True)
    return word in tables["known_words"] or stem(word) in tables["known_words"]
