"""A page and a command line that write at once, and learning in the background: nothing lost,
nothing doubled, nothing stale."""

from __future__ import annotations

import csv
import io
import json
import random
import subprocess
import sys
import threading
import time
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule
from web_client import DAY, Browser, home_with

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.pipeline.adding import add
from pricing.pipeline.keeping import export, undo
from pricing.web.refit import LEARNING, RESTED, Refit


def rows(home: Home) -> dict[str, dict[str, str]]:
    data = export(home, None)
    assert data is not None
    found = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"))))
    assert len({row["unit"] for row in found}) == len(found), "a unit stands in the record twice"
    return {row["unit"]: row for row in found}


class TwoWriters(RuleBasedStateMachine):
    """The record against a plain dict, whoever writes: the page, a sheet on the command line, an
    undo."""

    def __init__(self) -> None:
        super().__init__()
        import tempfile

        self.folder = tempfile.TemporaryDirectory()
        self.home = home_with(Path(self.folder.name), "unit,type,price\n1,gas range,\n")
        self.browser = Browser(self.home)
        self.states: list[dict[str, str]] = [
            {"1": ""}
        ]  # units and prices after each change that counts

    def change(self, unit: str, price: str) -> None:
        self.states.append({**self.states[-1], unit: price})

    @rule(price=st.integers(1, 999))
    def new_on_the_page(self, price: int) -> None:
        page = self.browser.send(
            self.browser.get("/records/new").form("Keep it"),
            type="gas range",
            note=f"{price}-{len(self.states)}",
        )
        unit = page.address.split("unit=")[1].split("&")[0]
        assert unit not in self.states[-1]
        self.change(unit, "")

    @rule(pick=st.randoms(use_true_random=False), price=st.integers(1, 999))
    def sold_on_the_page(self, pick: random.Random, price: int) -> None:
        unit = pick.choice(sorted(self.states[-1]))
        form = next(
            form
            for form in self.browser.get(f"/records/unit?unit={unit}").forms
            if "price" in form.names
        )
        assert self.browser.send(form, price=str(price), sold="2026-10-01").status == 200
        if self.states[-1][unit] != f"{price}.00":
            self.change(unit, f"{price}.00")

    @rule(pick=st.randoms(use_true_random=False), price=st.integers(1, 999))
    def sold_in_a_sheet_while_a_form_is_open(self, pick: random.Random, price: int) -> None:
        """The open form is refused and changes nothing."""
        unit = pick.choice(sorted(self.states[-1]))
        form = next(
            form
            for form in self.browser.get(f"/records/unit?unit={unit}").forms
            if "price" in form.names
        )
        sheet = Path(self.folder.name) / f"sheet-{len(self.states)}.csv"
        sheet.write_text(
            f"unit,type,price,sold,outcome\n{unit},gas range,{price},2026-10-02,sold\n",
            encoding="utf-8",
        )
        added = add(self.home, sheet, Settings(), DAY)
        if added.entry is not None:
            self.change(unit, f"{price}.00")
            assert self.browser.send(form, price="7").status == 409

    @rule()
    def undo_the_last_change(self) -> None:
        if len(self.states) > 1:
            undo(self.home, None, DAY)
            self.states.pop()

    @invariant()
    def the_record_is_what_was_written(self) -> None:
        assert {unit: row["price"] for unit, row in rows(self.home).items()} == self.states[-1]

    def teardown(self) -> None:
        self.folder.cleanup()


TwoWriters.TestCase.settings = settings(
    max_examples=6,
    stateful_step_count=8,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
TestTwoWriters = TwoWriters.TestCase


def both_write(home: Home, seconds: float) -> list[int]:
    """The page in this process and `pricing add` in others, as fast as they can; returns how many
    units the command line and two windows wrote."""
    until = time.monotonic() + seconds
    wrong: list[object] = []
    counts = [0, 0, 0]  # command line, two windows of the page

    def page(name: int) -> None:
        browser = Browser(home)
        while time.monotonic() < until and not wrong:
            answer = browser.send(
                browser.get("/records/new").form("Keep it"),
                type="gas range",
                note=f"page {name} {counts[name]}",
            )
            if answer.status != 200 or "Saved" not in answer.text:
                wrong.append(answer.text)
                return
            counts[name] += 1

    def command_line() -> None:
        while time.monotonic() < until and not wrong:
            sheet = home.path.parent / f"line-{counts[0]}.csv"
            sheet.write_text(
                f"unit,type,price,sold\nL{counts[0]},gas dryer,{100 + counts[0]},2026-09-01\n",
                encoding="utf-8",
            )
            done = subprocess.run(
                [
                    sys.executable,
                    "-m",
                    "pricing",
                    "add",
                    str(sheet),
                    "--no-fit",
                    "--home",
                    str(home.path),
                ],
                capture_output=True,
                text=True,
                check=False,
            )
            if done.returncode != 0:
                wrong.append(done.stderr)
                return
            counts[0] += 1

    threads = [
        threading.Thread(target=page, args=(1,)),
        threading.Thread(target=page, args=(2,)),
        threading.Thread(target=command_line),
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not wrong, wrong[0]
    return counts


def check_both(tmp_path: Path, seconds: float) -> None:
    home = home_with(tmp_path, "unit,type,price\n1,gas range,\n")
    n_line, *n_page = both_write(home, seconds)
    assert n_line > 0
    assert sum(n_page) > 0
    found = rows(home)
    assert sum(unit.startswith("L") for unit in found) == n_line
    assert {found[f"L{i}"]["price"] for i in range(n_line)} == {
        f"{100 + i}.00" for i in range(n_line)
    }
    by_hand = sorted(row["note"] for row in found.values() if row["note"].startswith("page "))
    assert by_hand == sorted(
        f"page {name} {i}" for name, n in enumerate(n_page, start=1) for i in range(n)
    )
    assert len(found) == 1 + n_line + sum(n_page)
    print(
        f"in {seconds:g} s: {n_line} sheets and {sum(n_page)} presses, nothing lost, nothing"
        " doubled"
    )


def test_page_and_command_line_write_at_once(tmp_path: Path) -> None:
    check_both(tmp_path, 4)


@pytest.mark.slow
def test_page_and_command_line_write_at_once_for_a_minute(tmp_path: Path) -> None:
    check_both(tmp_path, 60)


def learn_as(script: str, home: Home, monkeypatch: pytest.MonkeyPatch) -> Refit:
    """A refit whose process runs a line of Python in place of the fit."""
    refit = Refit(home, lambda: DAY, pause=0.05)
    monkeypatch.setattr(
        refit,
        "_start",
        lambda: subprocess.Popen(
            [sys.executable, "-c", script],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        ),
    )
    return refit


def test_a_row_of_changes_costs_one_fit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "log"
    refit = learn_as(f"open({str(log)!r}, 'a').write('x')", Home(tmp_path), monkeypatch)
    for _ in range(5):
        refit.changed()
    assert refit.wait(20)
    assert log.read_text() == "x"
    assert refit.state() == RESTED
    refit.stop()


def test_a_change_during_a_fit_is_learned_after_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = tmp_path / "log"
    refit = learn_as(
        f"import time; open({str(log)!r}, 'a').write('x'); time.sleep(.5)",
        Home(tmp_path),
        monkeypatch,
    )
    refit.changed()
    until = time.monotonic() + 20
    while refit.state() != LEARNING and time.monotonic() < until:
        time.sleep(0.01)
    refit.changed()
    assert refit.wait(20)
    assert log.read_text() == "xx"
    refit.stop()


def test_a_fit_that_fails_is_said_with_its_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    refit = learn_as(
        'import sys; print(\'{"problem": {"what": "the disk is full"}}\', file=sys.stderr); sys.exit(1)',
        Home(tmp_path),
        monkeypatch,
    )
    refit.changed()
    assert refit.wait(20)
    assert refit.state().state == "failed"
    assert "The disk is full." in refit.state().said
    assert "Your change is saved" in refit.state().said
    refit.stop()


def test_stopping_ends_a_fit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    refit = learn_as("import time; time.sleep(60)", Home(tmp_path), monkeypatch)
    refit.changed()
    until = time.monotonic() + 20
    while refit.process is None and time.monotonic() < until:
        time.sleep(0.01)
    process = refit.process
    assert process is not None
    refit.stop()
    assert process.wait(5) != 0


def test_a_press_on_the_page_is_learned_from(demo_home: Home) -> None:
    """The real fit: a new model that knows the new unit."""
    from pricing.model import saved

    before = saved.load(demo_home)
    refit = Refit(demo_home, lambda: date(2026, 10, 5), pause=0.05)
    browser = Browser(demo_home, date(2026, 10, 5))
    browser.app.config["PLACE"].refit = refit
    browser.send(browser.get("/records/new").form("Keep it"), type="gas range", unit="DEMO-X1")
    assert refit.wait(120)
    refit.stop()
    after = saved.load(demo_home)
    assert after.number == before.number + 1
    assert any(unit["unit"] == "DEMO-X1" for unit in after.open_units())


def test_at_its_start_it_learns_only_what_is_not_known(
    demo_home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    wanted: list[str] = []
    monkeypatch.setattr(Refit, "changed", lambda self: wanted.append(str(self.home.path)))
    Refit(demo_home, lambda: DAY)._look()
    assert wanted == []
    demo_home.settings_file.write_text('[usual_price]\n"gas range" = 300\n', encoding="utf-8")
    Refit(demo_home, lambda: DAY)._look()
    assert len(wanted) == 1
    Refit(Home(demo_home.path / "nowhere"), lambda: DAY)._look()
    assert len(wanted) == 2


def test_the_state_is_told_to_the_script(tmp_path: Path) -> None:
    browser = Browser(Home(tmp_path))
    assert json.loads(browser.get("/learning").html) == {"state": "rested", "said": ""}
