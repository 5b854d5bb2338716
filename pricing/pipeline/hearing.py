"""A line in plain words, heard with the record's and the settings' own words, and made a question.

heard(text, moment, settings, known, as_of)   the object of `pricing read`
question_of(heard, settings)                  the Question that it asks
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from pricing.advice import cautions
from pricing.basis import assumed, own_rows, said_number, words
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model.own_words import Words, own_words
from pricing.words import as_question, tables


def heard(text: str, moment: str, settings: Settings, known: Words, as_of: date) -> dict[str, Any]:
    """What the line says: read, kinds, units, each, not_understood, asks_back, tags, read_as."""
    from pricing.words.reader import read

    own = {**own_words(settings, known), "mark": said_number.mark_of(settings)}
    found = read(text, moment, tables.load("said"), own, as_of.year)
    as_question.in_own_distance(found, settings.distance_unit != "mi")
    return found


def with_dangers(
    found: dict[str, Any], text: str, moment: str, settings: Settings, as_of: date
) -> dict[str, Any]:
    """What was heard, its tags with those of every danger that an answer to it would name first:
    what the kind, its years and the words together bring."""
    question = replace(question_of(found, settings, moment), said=text)
    told = [said.tag for said in cautions.dangers_first(question, moment, settings, as_of)]
    return found | {"tags": list(dict.fromkeys([*found["tags"], *told]))}


def question_of(
    found: Mapping[str, Any], settings: Settings, moment: str = "offer", known: Words | None = None
) -> Question:
    """The question of the line; of several units the first, without the price for all."""
    table = own_rows.assumed_faults(settings, money=False)

    def row_of(fault: str, type_name: str) -> list[Any]:
        return [*assumed.fault_row(fault, type_name, words.family_of(type_name, settings), table)]

    def called(maker: str) -> str:
        return words.canonical("maker", maker, settings)

    trade = {**assumed.trade_words(), "faults": list((known or {}).get("fault", ()))}
    return _question(as_question.asked(dict(found), moment, trade, row_of, called))


def _question(told: Mapping[str, Any]) -> Question:
    return Question(
        told["unit"],
        told["known"],
        tuple(told["made"]),
        False,
        tuple(told["warnings"]),
        heard=told["heard"],
        each=tuple(map(_question, told["each"])),
    )
