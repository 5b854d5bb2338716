"""`pricing report` and `pricing compare` on a real record: what stands in the files adds up; odd
records get a page that says so."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import json
import re
import shutil
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.cli import group

DEMO_DAY = "2026-10-05"
CAME = ("sales", "parts and scrap sold", "delivery charged")
WENT = (
    "selling fees",
    "refunds",
    "paid for units",
    "parts",
    "spent, not split",
    "truck and dump",
    "helper",
    "comebacks",
    "expense",
)
VOID = {"meta", "br", "link", "img", "input", "hr", "col"}


class Page(HTMLParser):
    """Tables by caption, headings, links, and whether every tag is closed in order."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.tables: dict[str, list[list[str]]] = {}
        self.headings: list[tuple[int, str]] = []
        self.attributes: list[tuple[str, dict[str, str | None]]] = []
        self._rows: list[list[str]] = []
        self._caption = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.attributes.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "table":
            self._rows, self._caption = [], ""
        elif tag == "tr":
            self._rows.append([])
        elif tag in ("th", "td"):
            self._rows[-1].append("")
        elif re.fullmatch("h[1-6]", tag):
            self.headings.append((int(tag[1]), ""))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.attributes.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)
        if tag == "table":
            assert self._caption not in self.tables, f"two tables are called {self._caption!r}"
            self.tables[self._caption] = self._rows

    def handle_data(self, data: str) -> None:
        if not self.open:
            return
        if self.open[-1] in ("th", "td"):
            self._rows[-1][-1] += data
        elif self.open[-1] == "caption":
            self._caption += data
        elif re.fullmatch("h[1-6]", self.open[-1]):
            level, text = self.headings[-1]
            self.headings[-1] = (level, text + data)


def parse(text: str) -> Page:
    page = Page()
    page.feed(text)
    page.close()
    return page


def amount(cell: str) -> Decimal:
    return Decimal(re.sub(r"[^\d.-]", "", cell) or "0")


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(group, [str(each) for each in arguments], catch_exceptions=False)


def home_with(folder: Path, text: str) -> Home:
    from pricing.pipeline.adding import add

    sheet = folder / "ledger.csv"
    sheet.write_text(text, encoding="utf-8")
    home = Home(folder / "home")
    add(home, sheet, Settings(), date.fromisoformat(DEMO_DAY))
    return home


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """The invented demo record, added but not fitted, with a trip, an expense and a formula in a
    note."""
    from pricing.pipeline.adding import add

    root = Path(__file__).parents[1]
    folder = tmp_path_factory.mktemp("report")
    home = Home(folder / "home")
    sheet = folder / "sheet.csv"  # under other numbers: units of the demo enter no other record
    sheet.write_text(
        (root / "data" / "demo" / "ledger.csv").read_text(encoding="utf-8").replace("DEMO-", "N-"),
        encoding="utf-8",
        newline="",
    )
    add(home, sheet, Settings(), date.fromisoformat(DEMO_DAY))
    more = folder / "more.csv"
    more.write_text(
        "unit,type,outcome,trip,got,sold,drive_min,miles,expense,note,paid,parts,price,hours\n"
        ",,trip,T7,2026-08-02,,55,12.5,,,,,,\n"
        ",,expense,,,2026-07-20,,,31.15,=1+1,,,,\n"
        "X1,electric dryer,sold,,2026-07-01,2026-07-30,20,4,,,12.5,,99.99,\n",
        encoding="utf-8",
    )
    add(home, more, Settings(), date.fromisoformat(DEMO_DAY))
    return home


@pytest.fixture(scope="module")
def written(home: Home) -> dict[str, bytes]:
    """The files of the third quarter, by name."""
    result = run("report", "--home", home.path, "--as-of", DEMO_DAY)
    assert result.exit_code == 0, result.output
    return {
        path.name: path.read_bytes()
        for path in home.reports.iterdir()
        if path.name.startswith(("quarter-", "year-"))
    }


def sheet(data: bytes) -> list[list[str]]:
    assert data.startswith(b"\xef\xbb\xbf")
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def columns_add_up(head: list[str], rows: Iterable[list[str]], total: list[str]) -> None:
    """Every column of sums; an hourly rate is none."""
    rows = list(rows)
    for column in range(1, len(total)):
        if head[column] != "An hour" and re.fullmatch(
            r"-?[^\d\s-]{0,3}[\d,]+\.\d\d", total[column]
        ):
            assert sum(
                (amount(row[column]) for row in rows if row[column] not in ("-", "")), Decimal(0)
            ) == amount(total[column]), (column, total)


def test_the_page_adds_up_to_its_csv_and_to_itself(written: dict[str, bytes]) -> None:
    """Read back from the files as a stranger would: rows to totals, page to CSV, box to rows."""
    page = parse(written["quarter-2026Q3.html"].decode())
    table = sheet(written["quarter-2026Q3-units.csv"])
    head, body, total = table[0], table[1:-1], table[-1]

    for column in range(head.index("sales"), len(head)):
        assert sum(Decimal(row[column]) for row in body) == Decimal(total[column]), head[column]
    for row in body:
        came, went = (
            sum(Decimal(row[head.index(name)]) for name in names) for names in (CAME, WENT)
        )
        assert came - went == Decimal(row[head.index("kept")])

    rows = page.tables["Every unit, empty trip and expense of the quarter"]
    columns_add_up(rows[0], rows[1:-1], rows[-1])
    assert len(rows) - 2 == len(body)
    kept, hours = rows[-1][-2], rows[-1][-1]
    assert (amount(kept), amount(hours)) == (
        Decimal(total[head.index("kept")]),
        Decimal(total[head.index("hours")]),
    )

    box = {row[0]: row[1] for row in page.tables["The money box"][1:]}
    assert (box["Kept"], box["Hours"]) == (kept, hours)
    assert sum(
        amount(cell) for name, cell in box.items() if name not in ("Kept", "Hours", "An hour")
    ) == amount(kept)
    assert abs(amount(box["An hour"]) - amount(kept) / amount(hours)) <= Decimal("0.005")
    quarters = {row[0]: row for row in page.tables["By quarter"][1:]}
    assert (quarters["2026Q3"][4], quarters["2026Q3"][5]) == (kept, hours)


def test_every_other_table_with_a_total_adds_up(written: dict[str, bytes]) -> None:
    """Types, hours by task, repairs, unsold units, the changes, the replay and the year's
    tables."""
    page = parse(written["quarter-2026Q3.html"].decode())
    checked = 0
    for rows in page.tables.values():
        if (
            rows[-1][0] in ("All", "All units", "all units", "total", "all called")
            and len(rows) > 2
        ):
            columns_add_up(rows[0], rows[1:-1], rows[-1])
            checked += 1
    assert checked >= 8
    for caption in (
        "Why 2026Q3 kept more or less than 2026Q2",
        "Why an hour paid more or less than in 2026Q2",
        "Why an hour paid more or less than in 2025Q3",
    ):
        rows = page.tables[caption]
        assert sum(amount(row[1]) for row in rows[1:-1]) == amount(rows[-1][1]), caption
    for name, data in written.items():
        if name.startswith("year-") and "goods" not in name:
            table = sheet(data)
            columns_add_up(table[0], table[1:-1], table[-1])


def test_the_page_stands_alone(written: dict[str, bytes]) -> None:
    """One script, which its policy names by its hash, no address, nothing loaded; closed tags, one
    h1, headings in order, ids once, links that lead somewhere."""
    text = written["quarter-2026Q3.html"].decode()
    page = parse(text)
    ids = [attributes["id"] for _, attributes in page.attributes if "id" in attributes]

    assert page.wrong == [] and page.open == []
    assert not any(tag in ("img", "link", "iframe", "object") for tag, _ in page.attributes)
    assert [attributes for tag, attributes in page.attributes if tag == "script"] == [{}]
    script = text.split("<script>")[1].split("</script>")[0]
    named = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policy = next(
        attributes
        for tag, attributes in page.attributes
        if tag == "meta" and "http-equiv" in attributes
    )
    assert f"script-src 'sha256-{named}'" in policy["content"]
    links = [
        value
        for tag, attributes in page.attributes
        for name, value in attributes.items()
        if name in ("href", "src", "xlink:href", "action") and value
    ]
    assert all(value.startswith("#") for value in links)
    assert {value[1:] for value in links} <= set(ids)
    assert not re.search(r"url\((?!#)", text)
    assert len(ids) == len(set(ids))
    assert [level for level, _ in page.headings].count(1) == 1
    assert all(
        after - before <= 1
        for (before, _), (after, _) in zip(page.headings, page.headings[1:], strict=False)
    )
    assert len(text) < 1_500_000


def test_pictures_have_a_name_and_a_sentence_and_tables_have_headers(
    written: dict[str, bytes],
) -> None:
    """Five pictures at least, each with role, title and text; every table with a caption and scoped
    headers."""
    text = written["quarter-2026Q3.html"].decode()
    pictures = re.findall(r"<svg (?!class=\"key\"|[^>]*aria-hidden)[^>]*>", text)

    assert len(pictures) >= 5
    assert all('role="img"' in each and "aria-labelledby" in each for each in pictures)
    assert text.count("<desc ") == len(pictures) and text.count("<figcaption>") == len(pictures)
    assert text.count("<table") == text.count("<caption") == len(parse(text).tables)
    assert not re.search(r"<th(?! scope)(?=[ >])", text)


def test_the_bars_of_the_quarters_stand_on_zero_and_are_as_tall_as_their_money(
    written: dict[str, bytes],
) -> None:
    """The drawing beside the table: a bar a quarter, its amount the table's, its height in one
    measure with all others from the zero line, down where money was lost."""
    text = written["quarter-2026Q3.html"].decode()
    rows = parse(text).tables["By quarter"][1:]
    drawing = re.search(r'<svg [^>]*class="weeks".*?</svg>', text, re.S)
    assert drawing is not None and 'role="img"' in drawing[0][:300]
    bars = re.findall(
        r'<rect class="(\w+)" [^>]* y="([\d.-]+)" width="\d+" height="([\d.]+)"', drawing[0]
    )
    zero = float(re.findall(r'class="axis" d="M0 ([\d.]+)H', drawing[0])[0])
    kept = [float(amount(row[4])) for row in rows]

    assert [kind for kind, *_ in bars] == ["past"] * 7 + ["now"]
    measure = max(float(height) for *_, height in bars) / max(map(abs, kept))
    for (_, y, height), value in zip(bars, kept, strict=True):
        assert float(height) == pytest.approx(max(abs(value) * measure, 0.5), abs=0.11)
        assert float(y) + (float(height) if value >= 0 else 0) == pytest.approx(zero, abs=0.11)
    said = re.findall(r">([^<>]*)</text>", drawing[0])
    assert said[::2] == [f"{'-' if value < 0 else ''}${abs(value):,.0f}" for value in kept]


def test_the_files_are_the_same_when_written_again(
    home: Home, written: dict[str, bytes], tmp_path: Path
) -> None:
    """Same record, same day, same bytes: HTML and CSV."""
    result = run("report", "--home", home.path, "--as-of", DEMO_DAY, "--out", tmp_path)

    assert result.exit_code == 0
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == written


def test_text_of_the_record_is_only_text(tmp_path: Path) -> None:
    """Markup and formulas in the person's cells do nothing in the page and in the CSV: the reader of
    types takes the marks away, the page escapes what is left."""
    home = home_with(
        tmp_path,
        'unit,type,outcome,got,sold,price,paid,hours,found\n"=2+2","<b>kettle</b>",sold,2026-07-01,2026-08-01,120,10,2,"<script>alert(1)</script>"\n',
    )
    result = run("report", "--home", home.path, "--as-of", DEMO_DAY)
    text = (home.reports / "quarter-2026Q3.html").read_text(encoding="utf-8")

    assert result.exit_code == 0
    assert "<b>" not in text and text.count("<script") == 1 and "kettle" in text
    assert sheet((home.reports / "quarter-2026Q3-units.csv").read_bytes())[1][1].startswith("'=")


@pytest.mark.parametrize(
    ("rows", "quarter", "says"),
    [
        ("U1,electric dryer,listed,2026-09-01,,,10,1\n", "2026Q3", "you finished no unit"),
        (
            "U1,electric dryer,sold,2026-07-01,2026-08-01,120,10,2\n",
            "2026Q3",
            "you sold 1 of 1 unit ",
        ),
        ("U1,electric dryer,sold,2026-07-01,2026-08-01,120,10,2\n", "2031Q1", "has not begun"),
        ("U1,electric dryer,sold,2026-07-01,2026-08-01,120,10,2\n", "2026Q4", "is not over yet"),
        (
            "U1,electric dryer,sold,2026-07-01,2026-08-01,120,10,2\n",
            "2020Q2",
            "Your record begins on Aug 1, 2026",
        ),
        (
            "U1,electric dryer,scrapped,2026-07-01,2026-08-01,,10,2\n",
            "2026Q3",
            "you sold 0 of 1 unit ",
        ),
        (
            (
                "U1,electric dryer,sold,2026-07-01,2026-08-01,$120,10,2\nU2,electric"
                " dryer,sold,2026-07-01,2026-08-01,£99,10,2\nU3,gas"
                " range,sold,2026-07-01,2026-08-01,$140,10,2\n"
            ),
            "2026Q3",
            "One row of the files you added could not be taken (another currency",
        ),
    ],
)
def test_odd_records_get_a_page_that_says_so(
    tmp_path: Path, rows: str, quarter: str, says: str
) -> None:
    """Nothing sold, one row, a quarter ahead, running or before the record, only a failure, mixed
    currencies: exit code 0."""
    home = home_with(tmp_path, "unit,type,outcome,got,sold,price,paid,hours\n" + rows)

    result = run("report", "--home", home.path, "--as-of", DEMO_DAY, "--quarter", quarter)
    text = (home.reports / f"quarter-{quarter}.html").read_text(encoding="utf-8")

    assert result.exit_code == 0
    assert says in re.sub(r"\s+", " ", text)
    page = parse(text)
    assert page.wrong == [] and page.open == []
    first = text.split("<body>")[1].split('id="details"')[0]
    assert len(re.sub("<style.*?</style>|<[^>]*>", " ", first, flags=re.S).split()) <= 200


def test_the_default_is_the_last_quarter_that_is_over(home: Home) -> None:
    """As of Oct 5 that is 2026Q3 (the files below); as of its last day still 2026Q2."""
    result = run("report", "--home", home.path, "--as-of", "2026-09-30", "--json")

    assert json.loads(result.output)["quarter"] == "2026Q2"


def test_json_and_page_say_the_same(home: Home, written: dict[str, bytes]) -> None:
    """Totals for programs are the totals of the page."""
    table = json.loads(run("report", "--home", home.path, "--as-of", DEMO_DAY, "--json").output)
    box = {
        row[0]: row[1]
        for row in parse(written["quarter-2026Q3.html"].decode()).tables["The money box"][1:]
    }

    assert table["quarter"] == "2026Q3"
    assert amount(box["Kept"]) == Decimal(str(table["now"]["profit"]))
    assert amount(box["Hours"]) == Decimal(str(table["now"]["hours"]))
    assert table["front"]["now"]["profit"] == table["now"]["profit"]
    assert table["together"]["n"] == 0  # nothing was learned here


def test_compare_by_the_command(home: Home, tmp_path: Path) -> None:
    """Text, JSON and a picture; crossed by comma or by two options."""
    text = run("compare", "--home", home.path, "--as-of", DEMO_DAY)
    crossed = run(
        "compare", "--home", home.path, "--as-of", DEMO_DAY, "--by", "type,condition", "--json"
    )
    twice = run(
        "compare",
        "--home",
        home.path,
        "--as-of",
        DEMO_DAY,
        "--by",
        "type",
        "--by",
        "condition",
        "--json",
    )
    drawn = run(
        "compare", "--home", home.path, "--as-of", DEMO_DAY, "--plot", tmp_path / "pays.svg"
    )

    assert "TOO CLOSE TO CALL" in text.output
    assert json.loads(crossed.output) == json.loads(twice.output)
    with pytest.raises(Refused, match="ends in"):
        run("compare", "--home", home.path, "--as-of", DEMO_DAY, "--plot", tmp_path / "pays.png")
    assert drawn.exit_code == 0 and (tmp_path / "pays.svg").read_text(encoding="utf-8").startswith(
        "<?xml"
    )


@pytest.mark.parametrize("arguments", [("compare",), ("report",)])
def test_no_record_yet_is_a_sentence(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    """An empty folder is refused with the way out, and nothing is made in it."""
    with pytest.raises(Refused, match="pricing add"):
        run(*arguments, "--home", tmp_path / "none")
    assert not (tmp_path / "none").exists()


@pytest.mark.browser
@pytest.mark.parametrize(("width", "height"), [(390, 844), (1280, 800)])
def test_the_page_in_a_browser(
    written: dict[str, bytes], tmp_path: Path, width: int, height: int
) -> None:
    """On a phone and on a desk, with scripts off: nothing is asked of the network, nothing runs
    over the side, every picture is seen."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        pytest.skip("no Chromium on this machine")
    from playwright.sync_api import sync_playwright

    path = tmp_path / "quarter.html"
    path.write_bytes(written["quarter-2026Q3.html"])
    flags = [
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ]
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=flags)
        try:
            view = browser.new_context(
                viewport={"width": width, "height": height}, java_script_enabled=False
            ).new_page()
            asked: list[str] = []
            view.on("request", lambda request: asked.append(request.url))
            view.goto(path.as_uri())
            boxes = [picture.bounding_box() for picture in view.locator("figure svg").all()]
            body = view.locator("body").bounding_box()
        finally:
            browser.close()

    assert asked == [path.as_uri()]
    assert body is not None and body["width"] <= width
    assert len(boxes) >= 5 and all(
        box is not None and box["width"] > 300 and box["height"] > 100 for box in boxes
    )
