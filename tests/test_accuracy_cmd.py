"""`pricing accuracy`: the sentence first, plain words, the answers kept with `ask`, and the wider
ranges of the next fit."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.model import saved
from pricing.pages import accuracy_text
from pricing.pages.text import width_of
from pricing.pipeline import proving
from pricing.pipeline.demo import DEMO_DAY
from pricing.pipeline.fitting import fit
from pricing.proof import accuracy, reportcard
from pricing.proof.accuracy import Accuracy, Line, Rule
from pricing.proof.reportcard import KeptAnswer, ReportCard, Scored

JARGON = (
    "elasticity",
    "hazard",
    "prior",
    "pooled",
    "fitted",
    "calibrated",
    "median",
    "coverage",
    "winkler",
    "posterior",
    "bias",
)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(group, list(arguments), catch_exceptions=False)


@pytest.fixture(scope="module")
def proof(demo_home_once: Home) -> proving.Proof:
    """The replay of the demo, made once: it costs some seconds."""
    return proving.prove(demo_home_once, Settings(), DEMO_DAY)


@pytest.fixture(scope="module")
def judged(proof: proving.Proof) -> Accuracy:
    return proof.accuracy


@pytest.fixture
def replayed(judged: Accuracy, monkeypatch: pytest.MonkeyPatch) -> None:
    """The command finds the replay already made."""
    monkeypatch.setattr(accuracy, "judge", lambda units, settings, as_of, seed=0: judged)


def test_the_sentence_comes_first_in_plain_words(proof: proving.Proof) -> None:
    lines = accuracy_text.accuracy_text(proof.accuracy, proof.card, "USD")
    text = "\n".join(lines).lower()

    assert re.match(r"[A-Z ]{10,}", lines[0])
    assert max(map(width_of, lines)) <= 60
    assert len(lines) <= 42
    assert not [word for word in JARGON if word in text]


def test_detail_speaks_to_the_statistician_and_fits_the_screen(proof: proving.Proof) -> None:
    lines = accuracy_text.accuracy_text(proof.accuracy, proof.card, "USD", detail=True)
    text = "\n".join(lines)

    assert max(map(width_of, lines)) <= 60
    for word in ("interval score", "CRPS", "dispersion", "differential", "binomial", "bootstrap"):
        assert word in text


@pytest.mark.usefixtures("replayed")
def test_json_screen_and_picture_tell_the_same(demo_home: Home, tmp_path: Path) -> None:
    """By the command itself. Totals add up over types, thickness and months; one row for every
    sale; the picture is drawn."""
    drawn = tmp_path / "sales.svg"
    found = json.loads(
        run(
            "accuracy",
            "--json",
            "--plot",
            str(drawn),
            "--home",
            str(demo_home.path),
            "--as-of",
            DEMO_DAY.isoformat(),
        ).output
    )
    overall = found["overall"]

    assert f"{overall['n_caught']} of {overall['n']}" in found["verdict"]
    for name in ("by_type", "by_thickness", "by_month"):
        assert sum(line["n"] for line in found[name]) == overall["n"] == len(found["sales"])
    assert (
        sum(row["low"] <= row["price"] <= row["high"] for row in found["sales"])
        == overall["n_caught"]
    )
    assert drawn.read_text(encoding="utf-8").count("<svg") == 1


@pytest.mark.usefixtures("replayed")
def test_the_command_prints_the_lines(demo_home: Home, proof: proving.Proof) -> None:
    for options, detail in ((["--detail"], True), ([], False)):
        printed = run(
            "accuracy", *options, "--home", str(demo_home.path), "--as-of", DEMO_DAY.isoformat()
        ).output.splitlines()
        assert printed == accuracy_text.accuracy_text(proof.accuracy, proof.card, "USD", detail)


def test_an_empty_home_has_a_clear_sentence(tmp_path: Path) -> None:
    result = run("accuracy", "--home", str(tmp_path / "none"))

    assert result.exit_code == 0
    assert result.output.startswith("NOTHING TO CHECK YET")


@pytest.mark.usefixtures("replayed")
def test_an_answer_is_kept_with_the_persons_own_number_and_marked_once_sold(
    demo_home: Home,
) -> None:
    """Ask about a waiting unit, let it sell at 200, and both numbers stand on the screen."""
    waiting = saved.load(demo_home).open_units()
    number = next(str(unit["unit"]) for unit in waiting if unit.get("outcome") == "listed")
    day = DEMO_DAY.isoformat()
    asked = run(
        "ask", "--unit", number, "--mine", "195", "--home", str(demo_home.path), "--as-of", day
    )
    sheet = demo_home.path / "sold.csv"
    header = "No.,Appliance,Date got,Listed,Asking,Sold,Sold for,Status\n"
    row = next(unit for unit in waiting if str(unit["unit"]) == number)
    sheet.write_text(
        header
        + f"{number},{row['type']},{row.get('got', '')},{row.get('listed', '')},220,{day},200,sold\n"
    )
    added = run("add", str(sheet), "--no-fit", "--home", str(demo_home.path), "--as-of", day)
    found = json.loads(
        run("accuracy", "--json", "--home", str(demo_home.path), "--as-of", day).output
    )["kept"]

    assert asked.exit_code == 0
    assert added.exit_code == 0, added.output
    assert (found["n"], found["scored"]) == (1, 1)
    assert sum(found["nearer"].values()) == 1


def test_words_are_kept_only_when_told_to(demo_home: Home) -> None:
    folder = demo_home.data / "estimates"
    run(
        "ask",
        "electric dryer, 8 years, good",
        "--home",
        str(demo_home.path),
        "--as-of",
        DEMO_DAY.isoformat(),
    )
    before = folder.exists()
    run(
        "ask",
        "electric dryer, 8 years, good",
        "--keep",
        "--home",
        str(demo_home.path),
        "--as-of",
        DEMO_DAY.isoformat(),
    )

    assert not before
    assert len(list(folder.iterdir())) == 1


def test_the_price_in_an_offer_is_kept_too(demo_home: Home) -> None:
    words = ["electric dryer, 8 years, no heat, wants 40, 12 miles", "--mine", "180"]
    answer = json.loads(
        run(
            "offer",
            *words,
            "--json",
            "--home",
            str(demo_home.path),
            "--as-of",
            DEMO_DAY.isoformat(),
        ).output
    )
    kept, _ = reportcard.read(demo_home)

    assert [(one.median, one.own, one.said["type"]) for one in kept] == [
        (answer["price"]["median"], 180.0, "electric dryer")
    ]


def test_an_answer_that_cannot_be_kept_is_still_given(demo_home: Home) -> None:
    (demo_home.data / "estimates").write_text("in the way")
    result = run(
        "ask",
        "electric dryer, 8 years, good",
        "--keep",
        "--home",
        str(demo_home.path),
        "--as-of",
        DEMO_DAY.isoformat(),
    )

    assert result.exit_code == 0
    assert result.stdout.startswith("ASK ")
    assert "not kept" in result.stderr


def test_the_next_fit_is_as_wide_as_the_replay_found_needed(demo_home: Home) -> None:
    """Ranges of ln price widen by just the factor; a damaged or absurd file changes nothing."""
    reach = demo_home.data / "reach.json"
    before = saved.load(demo_home).price.ranges.low
    reach.write_text('{"as_of": "2026-10-05", "n": 100, "widen": 1.25}\n')
    wider = fit(demo_home, Settings(), DEMO_DAY).saved.price.ranges.low
    reach.write_text('{"widen": 1e9}')
    absurd = fit(demo_home, Settings(), DEMO_DAY).saved.price.ranges.low

    np.testing.assert_allclose(wider, before * 1.25, rtol=1e-5)
    np.testing.assert_allclose(absurd, before, rtol=1e-5)


# ---- what the sentence says, case by case


def line(n: int, caught: int, band: tuple[int, int]) -> Line:
    return Line("all", n, 0.12, 0.0, caught, band, 0.5, 0.6, 0.1)


@pytest.mark.parametrize(
    ("change", "begins"),
    [
        ({"overall": None}, "NOTHING TO CHECK YET"),
        ({"overall": line(6, 6, (2, 6))}, "TOO FEW TO TELL"),
        ({"overall": line(100, 80, (72, 87)), "rules": ()}, "THE ESTIMATES HELD"),
        ({"overall": line(100, 95, (72, 87)), "rules": ()}, "ON THE SAFE SIDE"),
        ({"overall": line(100, 60, (72, 87)), "widen": 1.3}, "MY RANGES WERE TOO NARROW"),
        (
            {
                "overall": line(100, 80, (72, 87)),
                "rules": (Rule("type median", 100, 0.1, 0.12, 1.3, 0.1, 40),),
            },
            "A PLAIN RULE DID BETTER",
        ),
        (
            {
                "overall": line(100, 80, (72, 87)),
                "rules": (Rule("type median", 100, 0.1, 0.12, 1.1, 0.1, 45),),
            },
            "THE ESTIMATES HELD",
        ),
    ],
)
def test_the_verdict(judged: Accuracy, change: dict[str, Any], begins: str) -> None:
    """By the band of the binomial law, and by two standard errors beside a rule."""
    assert accuracy_text.verdict(replace(judged, **change)).startswith(begins)


@pytest.mark.parametrize(
    ("tool", "own", "says"),
    [
        (110.0, 101.0, "Yours was closer 12 of 12"),
        (101.0, 130.0, "Mine was closer 12 of 12"),
        (110.0, 110.0, "equally often"),
    ],
)
def test_tool_and_person_side_by_side_are_told_kindly(tool: float, own: float, says: str) -> None:
    scored = tuple(
        Scored(
            KeptAnswer(f"{i}", DEMO_DAY, tool, 80.0, 125.0, 0.8, own, {}),
            f"{i}",
            "wall oven",
            DEMO_DAY,
            100.0,
        )
        for i in range(12)
    )
    text = " ".join(accuracy_text._card(ReportCard(12, 0, scored, ()), "USD"))

    assert says in text
    assert "wrong" not in text
