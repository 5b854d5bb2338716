"""One wording: the phone's script says what Python says, the head of every answer is short, and the
riddles that the texts once held are gone."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
import to_js
from conftest import DEMO_DAY

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.formulas.limit import advise
from pricing.pages import laid_out
from pricing.pages.compare_text import compare_text
from pricing.wording import ask_words, bench_words, drawing, offer_words, plain, question_words

NODE = shutil.which("node")
GOLDEN = Path(__file__).parent / "golden"
PLACES = [
    laid_out.place_of(settings)
    for settings in (
        Settings(),
        Settings(currency="EUR", dollar_is=0.9, hourly_target=45.0, clear_after_days=90),
    )
]
VIEWS = {"offer": offer_words.view, "ask": ask_words.view, "bench": bench_words.view}


def answers(kind: str) -> list[dict[str, Any]]:
    """The kept answers of fifty questions to the demo's record and fifty to an empty one."""
    lines = [
        line
        for home in ("demo", "empty")
        for line in (GOLDEN / f"{home}-{kind}.jsonl").read_text("utf-8").splitlines()
    ]
    return [_with_sentences(json.loads(line)) for line in lines]


def _with_sentences(answer: dict[str, Any]) -> dict[str, Any]:
    """The kept answers hold numbers only: sentences of the record stand in for those left out."""
    answer |= {"cautions": ["Unplug; bypass nothing."], "dangers": [], "warnings": ["too few sold"]}
    for one in answer.get("similar", ()):
        one["said"] = "gas range, 6y"
    for one in answer.get("ask_first", ()):
        one["question"] = "how old is it?"
    return answer


def test_the_script_is_made_of_the_modules() -> None:
    """python tests/to_js.py makes it anew."""
    for name, text in to_js.scripts().items():
        assert (to_js.PAGE / name).read_text(encoding="utf-8") == text


@pytest.mark.skipif(NODE is None, reason="no node here: apt-get install -y nodejs")
@pytest.mark.parametrize("kind", ["offer", "ask"])
def test_the_phone_says_the_very_same_sentences(kind: str, tmp_path: Path) -> None:
    """100 answers, two places: every headline, row and picture, letter by letter."""
    run = (
        'const given = JSON.parse(require("fs").readFileSync(0, "utf8"));\n'
        f"const view = {kind}_words.view;\n"
        "console.log(JSON.stringify(given.answers.flatMap((one) => given.places.map((place) => {\n"
        "  const found = view(one, place);\n"
        "  return [found, found.picture ? drawing_words.money_line(found.picture) : null];\n"
        "}))));\n"
    )
    script = tmp_path / "run.js"
    script.write_text(to_js.script() + run, encoding="utf-8")
    sent = json.dumps({"answers": answers(kind), "places": PLACES})
    assert NODE is not None
    done = subprocess.run([NODE, str(script)], input=sent, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr[-2000:]
    said = []
    for one in answers(kind):
        for place in PLACES:
            found = VIEWS[kind](one, place)
            picture = found["picture"]
            said.append([found, drawing.money_line(picture) if picture else None])
    assert json.loads(done.stdout) == json.loads(json.dumps(said))


@pytest.mark.parametrize("kind", sorted(VIEWS))
def test_every_answer_begins_with_eight_lines_and_short_sentences(kind: str) -> None:
    """At most eight lines of 60 columns; decision first, dangers before it; of its own sentences
    none has over 22 words."""
    for one in answers(kind):
        found = VIEWS[kind](one, PLACES[0])
        lines = laid_out.short_lines(found)
        assert len(lines) <= 8, lines
        assert max(map(len, lines)) <= 60, lines
        head = " ".join(lines)
        assert head.startswith(" ".join([*found["dangers"], found["headline"]]))
        for text in (found["headline"], *found["lead"], *found["guess"]):
            assert all(len(part.split()) <= 22 for part in re.split(r"(?<=[.?!]) ", text)), text
        more = laid_out.lines(found, more=True)
        assert max(map(len, more)) <= 60, more


@pytest.mark.parametrize(("kind", "most"), [("offer", 60), ("bench", 60), ("ask", 70)])
def test_how_much_there_is_to_read_before_the_fold(kind: str, most: int) -> None:
    """Words before what was read is said back (which is the person's own), cautions left out: they
    may be as long as they must."""
    for one in answers(kind):
        found = VIEWS[kind]({**one, "cautions": [], "dangers": [], "warnings": []}, PLACES[0])
        said = [found["headline"], *(told["text"] for told in found["short"][:-1])]
        assert len(" ".join(said).split()) <= most, said


@pytest.mark.parametrize("by", [("type",), ("fault",), ("type", "condition"), ("quarter",)])
def test_how_much_there_is_to_read_of_what_pays(by: tuple[str, ...], demo_home_once: Home) -> None:
    """Words of the demo's compare before the fold; no sentence over 22."""
    from pricing.pipeline import reporting

    found = reporting.compare(demo_home_once, Settings(), DEMO_DAY, by, None)
    *lines, fold = compare_text(found, "USD", more=False)
    assert fold == laid_out.MORE
    words = [word for word in " ".join(lines).split() if re.search("[A-Za-z]", word)]
    assert len(words) <= 80, lines
    for text in re.split(r"(?<=[.?!:;]) ", " ".join(lines)):
        assert len(text.split()) <= 22, text


def test_chances_are_never_said_surer_than_they_are() -> None:
    for share in (0.0, 0.0001, 0.004, 0.2, 0.5, 0.994, 0.9999, 1.0):
        said = plain.percent(share)
        assert (said == "0%") == (share == 0.0)
        assert (said == "100%") == (share == 1.0)


# What the texts said, of which none may come back: riddles, contradictions, other programs' words.
GONE = """
It does not pay even where they pay you
ONLY IF THEY PAY YOU
Start at {
Today take
CLEAR IT OUT
Its time is up
HOLD.
Still there on
take them as equal
PAYS BEST SO FAR
of the two would tell
would not tell them apart
of 100"
costs you most
none longer than is normal
are gone by day
Clear it out
money already spent left out
the money less the hours at your
Already in it
And then?
you lose money;
nearly always
They talk down
YOUR CHOICE
the way you usually ask
CLOSEST OF YOURS
Closest of yours
What you have in it
Held back
lean on the rest
Put in for blanks
add --json for all
What the ask does to the days
cannot tell yet
LOOKS LIKE A SLIP
SAME SALES, OTHER RULES
I was nearer
boosted trees
straight-line fit
bring four fifths
Made good
Lost on failures
averaged over all orders
Had you refused
wait for your answer
rows no longer count
Learned again from
NEED YOU
Mend them in
was read as half of it
day numbers of a spreadsheet
Thinnest
in what was learned last
is not possible:
nothing has been learned yet
no cluster was asked
no undo to take back
To have it again
no added file is called
What is the question
I stand at it
Told as
I fix such a fault
times of 10
Like: e
To the answer
To the first page
Come in<
reckoned from the distance
What I know of it
How it went
all whole
it counts for nothing
the owner has the gas turned off
as long as it lay
None of them says
switch nothing
the alphabet of the file
Many small stored files
A backup back into
One person's own home out
Who has it sees
travels unlocked
do not know of it
Eight questions
"""


@pytest.mark.parametrize("text", GONE.strip().splitlines())
def test_a_riddle_stays_gone(text: str) -> None:
    """In no source that a screen is made of (the tables of the trade's words have their own)."""
    rooms = ("advice", "basis", "cli", "ingest", "model", "pages", "pipeline", "web", "wording")
    found = [
        str(path.relative_to(to_js.ROOT))
        for room in rooms
        for path in (to_js.ROOT / room).rglob("*.*")
        if path.suffix in (".py", ".html", ".js") and text in path.read_text(encoding="utf-8")
    ]
    assert found == []


def test_minutes_of_driving_are_said_back() -> None:
    """A misread number is seen before the money: minutes as well as miles."""
    place = {"attributes": [], "words": {}, "sign": "$", "distance_unit": "mi"}
    said = question_words.said_back({"type": "electric dryer"}, {"drive_min": 60.0}, [], place)
    assert said == "electric dryer, 60 minutes there and back"


@pytest.mark.parametrize("most", [-30.24, -31.0, -18.2, -3.9, -95.01])
def test_the_pay_that_go_names_is_pay_at_which_the_verdict_is_go(most: float) -> None:
    answer = {"pay_up_to": most, "their_price": -200.0, "advice": offer_words.HAUL}
    _, headline = offer_words.decision(answer, PLACES[0])
    named = re.search(r"pay you \$(\d+) or more", headline)
    assert named
    assert advise(plain.down(most), -float(named[1]), "") == offer_words.HAUL
    assert float(named[1]) >= -most


def test_the_money_line_of_a_terminal_says_the_numbers_of_the_page() -> None:
    """Signs stand in the order of their amounts, the span between its ends; words and amounts are
    those that the page prints beside its picture."""
    marks = [
        {"sign": "ceiling", "at": 45.0, "words": "pay up to", "said": "$45"},
        {"sign": "square", "at": 90.0, "words": "they want", "said": "$90"},
        {"sign": "disc", "at": 130.0, "words": "sells for", "said": "$130"},
    ]
    picture = {"low": 95.0, "high": 175.0, "ends": ["$95", "$175"], "marks": marks}
    view = {"dangers": [], "headline": "PASS.", "lead": [], "guess": [], "picture": picture}
    view |= {"read": "", "sections": [], "warnings": [], "cautions": [], "legend": []}

    lines = laid_out.lines(view, more=True)
    line = next(one for one in lines if set(one) <= set("T#o=-<L") and len(one) > 20)

    assert len(line) == 60
    assert "".join(one for one in line if one in "T#o") == "T#o"
    assert line.index("#") < line.index("=") < line.index("o")
    assert line.endswith("=")
    told = " ".join(lines)
    for mark in marks:
        assert f"{mark['words']} {mark['said']}" in told
    assert "$95 to $175" in told


@pytest.mark.parametrize("kind", ["offer", "ask"])
def test_what_is_printed_adds_up_to_what_is_printed(kind: str) -> None:
    """The reasons of an answer, read as a stranger would: amounts to the printed total, which is
    the one of the headline; what rounding takes is a row and never more than rounding can be."""
    place, checked = PLACES[0], 0
    for answer in answers(kind):
        view = VIEWS[kind](answer, place)
        rows = [
            row for one in view.get("sections", ()) if one["name"] == "why" for row in one["rows"]
        ]
        if not rows:
            continue
        amounts = [int(re.sub(r"[$,]", "", row[1])) for row in rows]
        assert sum(amounts[:-1]) == amounts[-1], rows
        named = {row[0]: amount for row, amount in zip(rows, amounts, strict=True)}
        assert abs(named.get("rounding", 0)) <= 5 + len(rows) / 2, rows
        if kind == "offer":
            assert amounts[-1] == round(plain.down(answer["pay_up_to"]))
        checked += 1
    assert checked > 60


def test_the_legend_counts_what_stands_on_the_screen() -> None:
    """No count that the screen does not show."""
    for kind in VIEWS:
        for answer in answers(kind):
            view = VIEWS[kind](answer, PLACES[0])
            for line in view.get("legend", ()):
                standing, _, said = line.partition(":")
                assert standing in answer["standing"].values() or standing in str(view["sections"])
                assert re.findall(r"\d+", standing) == re.findall(r"\d+", said), line
