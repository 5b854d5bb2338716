"""What the phone reads and says against what the command reads and says: typed answers, years,
amounts, chances, the word most like another."""

from __future__ import annotations

import json
import random
from difflib import get_close_matches
from typing import Any

import pytest
from in_node import needs_node, said_by
from phone_vectors import DAY, as_given, world

from pricing.basis.assumed import FAULTS, TYPES
from pricing.basis.problems import Refused
from pricing.basis.question import years_in
from pricing.basis.settings import Settings
from pricing.formulas.nearest_word import nearest
from pricing.pages import phone, text
from pricing.pipeline import question_from
from pricing.web import forms
from pricing.web.forms import Field

pytestmark = needs_node
RUN = """
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
use(given.file);
console.log(JSON.stringify(given.asked.map((one) => eval(given.name)(...one))));
"""
SETTINGS = Settings(
    attributes={"drum": "log", "color": "category"}, owner="Ada", currency="EUR", dollar_is=0.9
)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Calls a function of the page's script on many lists of arguments, in one run of node."""
    folder = tmp_path_factory.mktemp("words")
    numbers, _ = world(0, folder / "home")
    sent = phone.given(numbers, SETTINGS)

    def call(name: str, *asked: list[Any]) -> list[Any]:
        given = {"file": sent, "name": name, "asked": asked}
        found: list[Any] = said_by(phone.engine() + RUN, given, folder)
        return found

    return call


def test_a_form_is_read_as_the_command_reads_its_options(told: Any) -> None:
    """The same typed answers: the same question, said back in the same words."""
    typed: list[dict[str, str]] = [
        {"type": "gas dryer", "age": "8", "their_price": "40", "miles": "12"},
        {"type": "gas dryer", "made": "2016", "their_price": "free"},
        {"type": "gas dryer", "made": "2014-2016", "fault": "no heat", "condition": "like new"},
        {
            "type": "wall oven",
            "made": "2006 or 2016",
            "age": "10",
            "maker": "aldora",
            "parts": "25",
            "hours": "1.25",
            "price": "240",
            "helper": "10",
        },
        {"type": "dishwasher", "age": "2.5", "minutes": "12", "on_trip": "2", "miles": "3.25"},
    ]
    theirs = told("question_of", *(["offer", one, DAY.isoformat()] for one in typed))
    for one, (asked, wrong) in zip(typed, theirs, strict=True):
        ours = question_from.read("", one, SETTINGS, DAY)
        assert wrong == [] and asked == json.loads(json.dumps(as_given(ours)))
    said = told("said_back", *([asked] for asked, _ in theirs))
    assert said == [question_from.read("", one, SETTINGS, DAY).as_read for one in typed]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"type": ""}, "type"),
        ({"type": "gas dryer", "age": "121"}, "age"),
        ({"type": "gas dryer", "age": "old"}, "age"),
        ({"type": "gas dryer", "made": "1899"}, "made"),
        ({"type": "gas dryer", "made": "2027"}, "made"),
        ({"type": "gas dryer", "made": "nineties"}, "made"),
        ({"type": "gas dryer", "made": "2016, 2018", "age": "20"}, "made"),
        ({"type": "gas dryer", "miles": "12345678901234567890"}, "miles"),
        ({"type": "gas dryer", "own drum": "big"}, "own drum"),
    ],
)
def test_what_the_command_refuses_the_phone_refuses_beside_the_field(
    told: Any, typed: dict[str, str], field: str
) -> None:
    [[_, wrong]] = told("question_of", ["offer", typed, DAY.isoformat()])

    assert [name for name, _ in wrong] == [field] and wrong[0][1].endswith(".")
    with pytest.raises(Refused):
        question_from.read(
            "", {name.removeprefix("own "): value for name, value in typed.items()}, SETTINGS, DAY
        )


def test_numbers_are_read_as_the_page_reads_them(told: Any) -> None:
    typed = [
        "12",
        "12.5",
        "12,5",
        "$1,200",
        "1.200,50",
        "1,200.50",
        "-20",
        "−20",
        " 7 ",
        "1e5",
        "abc",
        "",
        "1,2,3",
        "--4",
        "99999999999999999999",
        "٣",
        "$",
        "4 years",
    ]
    theirs = told("number_in", *([one] for one in typed))
    page = [
        forms.read([Field("n", "N", "number", low=-1e30, high=1e30)], {"n": one}).values.get("n")
        for one in typed
    ]
    assert [one for one, read in zip(typed, theirs, strict=True) if read is None] == [
        "1e5",
        "abc",
        "",
        "1,2,3",
        "--4",
        "$",
    ]
    assert [
        (one, read) for one, read, other in zip(typed, theirs, page, strict=True) if read != other
    ] == []


def test_years(told: Any) -> None:
    draw = random.Random(3)
    texts = [
        "",
        "2016",
        "2014-2016",
        "2014 – 2016",
        "2006, 2016",
        "2006 or 2016",
        "2016 to 2014",
        "1900-2016",
        "made 2011?",
        "20166",
        "x2016",
        "2001 until 2003; 2010",
    ]
    texts += [
        draw.choice(("", "ca. "))
        + draw.choice((" ", ",", "-", " to ", "/")).join(
            str(draw.randrange(1950, 2027)) for _ in range(draw.randrange(1, 4))
        )
        for _ in range(200)
    ]

    assert [tuple(one) for one in told("years_in", *([one] for one in texts))] == [
        years_in(one) for one in texts
    ]


def test_amounts_chances_and_digits_in_words(told: Any) -> None:
    draw = random.Random(4)
    amounts = [
        0.0,
        -0.4,
        0.5,
        1.5,
        2.5,
        -2.5,
        19.99,
        20.0,
        22.5,
        -22.5,
        1234.4,
        1e6,
        *(round(draw.uniform(-3000, 3000), 2) for _ in range(500)),
    ]
    assert told("money", *([one] for one in amounts)) == [text.money(one, "EUR") for one in amounts]
    for digits in (2, 3, 6):
        numbers = [
            0.0,
            0.5,
            36.25,
            2.5,
            99.95,
            1e-5,
            123456.5,
            1234567.0,
            *(draw.uniform(0, 10 ** draw.randrange(-6, 9)) for _ in range(300)),
        ]
        assert told("general", *([one, digits] for one in numbers)) == [
            f"{one:.{digits}g}" for one in numbers
        ]


def by_difflib(word: str, known: list[str], cutoff: float) -> str | None:
    found = get_close_matches(word.lower(), [one.lower() for one in known], n=1, cutoff=cutoff)
    return next((one for one in known if found and one.lower() == found[0]), None)


def test_the_word_most_like_another(told: Any) -> None:
    """The same as Python's difflib gives, with typing slips, other letters and long texts."""
    draw = random.Random(5)
    known = [row.type for row in TYPES] + [row.fault for row in FAULTS]

    def slip(word: str) -> str:
        letters = list(word)
        for _ in range(draw.randrange(4)):
            place = draw.randrange(len(letters))
            letters[place : place + draw.randrange(2)] = draw.choice(
                ("", "x", "ü", "ee", letters[place])
            )
            letters = letters or ["x"]
        return "".join(letters)

    asked = [
        *(slip(draw.choice(known)) for _ in range(100)),
        "",
        "moon buggy",
        "w" * 300,
        "🧺 dryer",
    ]
    of_all = {}
    for cutoff in (0.4, 0.6, 0.75):
        # a text of thousands of letters takes as long as all others
        texts = [*asked, " ".join(known)] if cutoff == 0.6 else asked
        found = [nearest(one, known, cutoff) for one in texts]
        assert found == [by_difflib(one, known, cutoff) for one in texts]
        assert told("nearest", *([one, known, cutoff] for one in texts)) == found
        of_all[cutoff] = sum(one is not None for one in found)
    assert of_all[0.6] > 66
