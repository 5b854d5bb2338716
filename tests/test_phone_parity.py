"""The phone's formulas against the Python: the same random units over invented worlds, in node and
in Chromium, every field that `--json` gives."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from chromium import CHROMIUM, launched
from in_node import needs_node, said_by
from phone_vectors import DAY, SHARED, as_given, questions, world

from pricing.advice import ask, offer
from pricing.advice.lot import judge
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model.price.member import told_apart
from pricing.model.saved import Saved
from pricing.pages import phone
from pricing.pipeline.offering import kinds_of
from pricing.pipeline.question_from import said_back

if TYPE_CHECKING:
    from playwright.sync_api import Browser

RUN = """
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
use(given.file);
console.log(JSON.stringify(given.asked.map((question) => ({ offer: offer(question, given.as_of), ask: ask(question, given.as_of) }))));
"""


def by_phone(
    saved: Saved, settings: Settings, asked: list[Question], folder: Path
) -> list[dict[str, Any]]:
    """Answers of the page's script; it is given nothing but the numbers that the phone file
    carries."""
    sent = {
        "file": phone.given(saved, settings),
        "as_of": DAY.isoformat(),
        "asked": [as_given(one) for one in asked],
    }
    answers: list[dict[str, Any]] = said_by(phone.engine() + RUN, sent, folder, 900)
    return answers


def by_browser(
    browser: Browser, saved: Saved, settings: Settings, asked: list[Question], folder: Path
) -> list[dict[str, Any]]:
    """Answers of the file itself, opened from the disk: all in one call."""
    path = folder / "phone.html"
    path.write_text(phone.page(saved, settings, []), encoding="utf-8")
    page = browser.new_page()
    page.goto(path.as_uri())
    run = (
        "([asked, day]) => JSON.stringify(asked.map((one) => ({ offer: offer(one, day), ask:"
        " ask(one, day) })))"
    )
    given: list[dict[str, Any]] = json.loads(
        page.evaluate(run, [[as_given(one) for one in asked], DAY.isoformat()])
    )
    page.close()
    return given


def differences(ours: Any, theirs: Any, where: str = "") -> list[str]:
    """Every place where two answers differ by more than 1e-9 of money, or of the number where it is
    large."""
    if isinstance(ours, dict):
        return [
            found
            for name in ours
            for found in differences(ours[name], theirs.get(name, "missing"), f"{where}.{name}")
        ]
    if isinstance(ours, (list, tuple)):
        if len(ours) != len(theirs):
            return [f"{where}: {len(ours)} and {len(theirs)} entries"]
        return [
            found
            for place, pair in enumerate(zip(ours, theirs, strict=True))
            for found in differences(*pair, f"{where}[{place}]")
        ]
    if (
        isinstance(ours, (int, float))
        and not isinstance(ours, bool)
        and isinstance(theirs, (int, float))
        and not isinstance(theirs, bool)
    ):
        nudged = (
            ours + 1e-7,
            theirs + 1e-7,
            # a number told as 60.50 stands on the edge of rounding, where the last digit of a sum
            # decides
        )
        same = math.isclose(ours, theirs, rel_tol=1e-12, abs_tol=1e-9) and all(
            round(nudged[0], places) == round(nudged[1], places) for places in (0, 2)
        )
        return [] if same else [f"{where}: {ours!r} and {theirs!r}"]
    return [] if ours == theirs else [f"{where}: {ours!r} and {theirs!r}"]


def answers(saved: Saved, settings: Settings, asked: list[Question]) -> list[dict[str, Any]]:
    """What `--json` gives, field by field, but for "unit", which is the question itself."""
    asked = [replace(one, as_read=said_back(one, settings)) for one in asked]
    out = []
    for question, one, other in zip(
        asked,
        offer.decide_many(asked, saved, settings, DAY),
        ask.decide_many(asked, saved, settings, DAY),
        strict=True,
    ):
        one = replace(one, by_kind=kinds_of(question, saved, settings, DAY))
        ours = json.loads(json.dumps({"offer": one.as_dict(), "ask": other.as_dict()}))
        del ours["offer"]["unit"], ours["ask"]["unit"]
        out.append(ours)
    return out


def compared(
    ours: list[dict[str, Any]], theirs: list[dict[str, Any]], asked: list[Question]
) -> list[str]:
    assert len(ours) == len(theirs) == len(asked)
    return [
        f"{as_given(question)} {line}"
        for question, one, other in zip(asked, ours, theirs, strict=True)
        for line in differences(one, other)
    ]


def both_ways(
    seed: int, n: int, draw: int, folder: Path, browser: Browser | None, n_browser: int
) -> list[Question]:
    """n questions about one invented world, answered in node, and the first of them in Chromium
    (where there is one); fails with the first differences."""
    saved, settings = world(seed, folder / "home")
    asked = questions(draw, n, settings)
    ours = answers(saved, settings, asked)

    found = {"node": compared(ours, by_phone(saved, settings, asked, folder), asked)}
    if browser is not None:
        found["Chromium"] = compared(
            ours[:n_browser],
            by_browser(browser, saved, settings, asked[:n_browser], folder),
            asked[:n_browser],
        )

    assert not any(found.values()), "\n".join(
        f"{where}: {len(lines)}\n" + "\n".join(lines[:8]) for where, lines in found.items()
    )
    some = [one["ask"] for one in ours]
    assert (
        any(one["pair"] for one in some)
        and any(one["offered"] for one in some)
        and any(one["warnings"] for one in some)
    )
    assert any(
        one["offer"]["by_year"] for one in ours
    )  # nothing of what is compared is missing from the questions
    assert saved.price.n == 0 or any(one["similar"] for one in some)
    assert bool(told_apart(saved.price)) == (seed in SHARED) and any(
        one.unit.get("owner") for one in asked
    )
    return asked


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser | None]:
    if CHROMIUM is None:
        yield None
    else:
        with launched() as started:
            yield started


@needs_node
@pytest.mark.parametrize("seed", (0, 2))
def test_lots_on_the_phone(seed: int, tmp_path: Path) -> None:
    """Several units in one call, some at a price of their own: every field of the lot."""
    saved, settings = world(seed, tmp_path / "home")
    alone = [replace(one, made=(), at_curb=False) for one in questions(7, 24, settings)]
    lots = [replace(alone[i], each=tuple(alone[i : i + 2 + i % 3])) for i in range(0, 18, 3)]
    sent = [as_given(one) | {"heard": {"read": {}}, "each": []} for one in lots]
    for one, lot in zip(sent, lots, strict=True):
        one["each"] = [as_given(each) for each in lot.each]
    given = {"file": phone.given(saved, settings), "as_of": DAY.isoformat(), "asked": sent}
    run = RUN.replace("{ offer: offer(question, given.as_of), ask: ask(question, given.as_of) }",
                      "offer(question, given.as_of).lot")  # fmt: skip
    theirs = said_by(phone.engine() + run, given, tmp_path, 300)
    wide = 0
    for lot, found in zip(lots, theirs, strict=True):
        ours = judge(lot, saved, settings, DAY).as_dict() | {"each": []}
        told = json.loads(json.dumps(ours))
        assert not differences(told, found | {"each": []}), lot
        sold = ours["sells_for"]
        wide += sold["low"] < sold["median"] < sold["high"]
    assert wide > 2


# What one unit in 66 is told otherwise is met with .95 (1 - (65/66)^200). Node and Chromium run the
# same engine; what differs is the file around the script, which a few questions show. The full two
# thousand in both are the long run.
@pytest.mark.long
@needs_node
@pytest.mark.browser
@pytest.mark.parametrize("seed", range(5))
def test_two_hundred_units_over_five_worlds(
    seed: int, tmp_path: Path, browser: Browser | None
) -> None:
    asked = both_ways(seed, 40, 110 + seed, tmp_path, browser, n_browser=6)

    assert len({one.type for one in asked}) > 20


@needs_node
@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5))
def test_two_thousand_units_over_five_worlds(
    seed: int, tmp_path: Path, browser: Browser | None
) -> None:
    asked = both_ways(seed, 400, 200 + seed, tmp_path, browser, n_browser=400)

    assert len({one.type for one in asked}) > 20
