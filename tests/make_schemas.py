"""Makes pricing/schemas: the form of each command's answer to a program, from many answers.

    python tests/make_schemas.py

A field that was ever null may be; one that was in every answer must be there; no other field may
come. One that was null in every answer is left open.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from unittest import mock

from click.testing import CliRunner

from pricing.basis.home import Home
from pricing.cli import COMMANDS, group

HERE = Path(__file__).parent
FOLDER = HERE.parent / "pricing" / "schemas"
sys.path.insert(0, str(HERE / "golden"))
import questions  # noqa: E402

DAY = questions.DAY
# tables whose names are the person's own words, not fields
MAPS = {
    "unit", "heard", "read", "known", "attributes", "chance_sold", "columns", "changed", "changes", "settings",
    "names",
}  # fmt: skip
KINDS = {str: "string", bool: "boolean", int: "number", float: "number", type(None): "null"}


def form(values: list[Any], name: str = "") -> dict[str, Any]:
    """The JSON Schema of these values of one field."""
    tables = [one for one in values if isinstance(one, dict)]
    lists = [one for one in values if isinstance(one, list)]
    kinds = sorted({KINDS[type(one)] for one in values if not isinstance(one, dict | list)})
    if name in MAPS and tables:
        inner = [value for one in tables for value in one.values()]
        table = {"type": "object", "additionalProperties": form(inner) if inner else {}}
    elif tables:
        fields = dict.fromkeys(key for one in tables for key in one)
        table = {
            "type": "object",
            "properties": {
                key: form([one[key] for one in tables if key in one], key) for key in fields
            },
            "required": sorted(key for key in fields if all(key in one for one in tables)),
            "additionalProperties": False,
        }
    else:
        table = {}
    items = [item for one in lists for item in one]
    array = {"type": "array", **({"items": form(items)} if items else {})} if lists else {}
    simple = {"type": kinds[0] if len(kinds) == 1 else kinds} if kinds else {}
    found = [one for one in (simple, array, table) if one]
    if found == [{"type": "null"}]:
        return {}
    return found[0] if len(found) == 1 else {"anyOf": found} if found else {}


def told(home: Path, *words: str, code: int = 0) -> list[dict[str, Any]]:
    """The answers that a command prints for programs."""
    done = CliRunner().invoke(group, [*words, "--json", "--home", str(home), "--as-of", DAY])
    assert done.exit_code == code, (words, done.output, done.exception)
    return [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]


def answers(
    demo: Path, folder: Path, seeds: tuple[int, ...], step: int = 1
) -> Iterator[list[dict[str, Any]]]:
    """Answers of every command. demo: the fitted demo home, left as it is; folder: an empty one to
    work in; seeds: others ask other questions; step: every so many of them."""
    empty, work = folder / "empty", folder / "work"
    yield told(empty, "setup", "--defaults")
    yield told(empty, "fit")
    shutil.copytree(demo, work)
    for home, seed in [(home, seed) for home in (demo, empty) for seed in seeds]:
        for command, every in (("offer", step), ("bench", 3 * step), ("ask", step)):
            yield questions.answers(home, command, seed, slice(None, None, every))
    if step == 1:
        yield [one["answer"] for one in questions.spoken(empty)]
    yield from _of_the_list(demo, work, folder, step)
    yield from _of_the_record(demo, work, folder)
    yield from _small(demo, work, folder)


def _of_the_list(demo: Path, work: Path, folder: Path, step: int) -> Iterator[list[dict[str, Any]]]:
    unsold = told(demo, "unsold")
    yield unsold
    for unit in [one["unit"] for one in unsold[0]["unsold"]][::step]:
        yield told(work, "card", unit)
        for bid in ("30", "120", "400")[::step]:
            yield told(work, "ask", "--unit", unit, "--bid", bid)
        yield told(work, "history", unit)
    calls = folder / "calls.csv"
    calls.write_text(
        "type,age,fault,their_price,miles\nelectric dryer,8,no heat,40,12\ngas range,9,dead,0,3\n"
        "zzz,1,dead,1,1\nhot tub,2,leaks,5,9\n"
    )
    yield told(work, "offer", "--from", str(calls))
    yield told(work, "offer", "--from", str(calls), "--hours-free", "3", "--spots-free", "2")
    yield told(work, "offer", "two dryers, one no heat, one squeals, 50 for both", "--keep")
    yield told(
        work,
        "offer",
        "electric dryer no heat wants 40",
        "--mine",
        "150",
        "--at-curb",
        "--log",
        "trip",
    )
    yield told(work, "bench", "electric dryer no heat, found the element, parts 20")
    yield told(work, "bench", "gas range, dead", "--spent-money", "30", "--spent-hours", "2")
    for kind in ("front-load washer", "electric dryer", "gas dryer"):
        yield told(work, "ask", f"{kind}, 5 years, good")
    yield told(work, "ask", "front-load washer, 7 years, good", "--mine", "280")
    for moment in ("offer", "bench", "ask"):
        yield told(
            work,
            "read",
            "two dryers, 8 years, no heat, gas smell, 40 firm, listed 3 weeks",
            "--moment",
            moment,
        )
    yield told(work, "compare", "--by", "type" if step == 1 else "fault,condition")
    yield told(work, "compare", "--by", "maker", "--hours-a-week", "6")
    yield told(work, "report", "--out", str(folder / "papers"))
    yield told(work, "rule", "list")
    yield told(work, "rule", "add", "--found", "board", "--under", "230")
    yield told(work, "rule", "add", "--over-miles", "12", "--over-age", "20")
    yield told(work, "rule", "add", "1")
    yield told(work, "rule", "list")
    yield told(work, "compare")
    for _ in range(2):
        yield told(work, "rule", "drop", "1")
    yield told(work, "accuracy")
    yield told(folder / "empty", "accuracy")
    yield told(work, "slip")


def _of_the_record(demo: Path, work: Path, folder: Path) -> Iterator[list[dict[str, Any]]]:
    sheet = folder / "sheet.csv"
    sheet.write_text(
        "unit,type,age,sold,price,outcome,owner\n901,electric dryer,8,2026-09-01,195,sold,Ann\n"
        "902,gas range,x,2026-09-02,tbc,sold,Bob\n903,dishwasher,5,,,in work,Ann\n904,wall oven,4,2026-08-02,150,sold,Bob\n905,gas range,9,02.01.26,250,sold,Bob\n"
    )
    yield told(work, "add", str(sheet), "--dry-run")
    yield told(work, "add", str(sheet), "--no-fit")
    for path in questions.SHEETS:
        yield told(folder / "other", "add", str(path), "--dry-run")
    copied = folder / "copied"
    shutil.copytree(work, copied)
    yield told(copied, "got", "gas range, 9 years, paid 20", "--no-fit")
    yield told(work, "add", str(copied), "--no-fit")
    yield told(work, "got", "electric dryer, 8 years, no heat, paid 20, 12 miles", "--no-fit")
    for words in (
        ("spent", "903", "24", "fuse,", "45", "minutes"), ("listed", "903", "at", "210"), ("listed", "903", "at", "210"),
        ("dropped", "903", "to", "189"), ("bid", "903", "170"),
        ("parted", "903", "for", "60"), ("scrapped", "903", "for", "14"), ("sold", "903", "for", "180"), ("back", "903", "2", "hours"),
    ):  # fmt: skip
        yield told(work, *words, "--no-fit")
    yield told(work, "passed", "gas range, 14 years, wants 100", "--trip")
    told_more = folder / "told.csv"
    told_more.write_text(
        "unit,type,age,listed,asked,outcome,warranty_days,recall_checked,note\n"
        "906,gas range,9,2026-09-20,210,listed,30,2026-09-19,tested all burners\n"
    )
    yield told(work, "add", str(told_more))
    yield told(work, "card", "906")
    yield told(work, "undo", "--no-fit")
    yield told(work, "undo", "--back", "--no-fit")
    yield told(work, "drop", "901", "--no-fit")
    yield told(work, "history", "903")
    yield told(work, "files")
    yield told(work, "verify")
    yield told(work, "backup", "--out", str(folder / "b.zip"))
    yield told(folder / "restored", "restore", str(folder / "b.zip"))
    yield told(work, "export")
    yield told(work, "export", "--out", str(folder / "e.csv"))
    yield told(work, "export", "--by-month", str(folder / "months"))
    yield told(work, "fit")
    yield told(work, "member", "Ann", "--out", str(folder / "ann"))
    yield told(folder / "ann", "ask", "gas range, 8 years, good")
    # the table without scripts takes seconds, and nothing of it is in the answer
    with mock.patch("pricing.pipeline.phoning.MOST_TYPES", 3):
        yield told(work, "phone", "--out", str(folder / "phone.html"))


def _small(demo: Path, work: Path, folder: Path) -> Iterator[list[dict[str, Any]]]:
    yield told(work, "seen", "front-load washer, 6 years, good, asks 350", "--no-fit")
    yield told(work, "seen")
    yield told(work, "seen", "--gone", "1", "--no-fit")
    yield told(work, "seen")
    yield told(work, "settings")
    yield told(work, "settings", "spots")
    yield told(work, "settings", "spots", "4")
    yield told(work, "settings", "owner")
    yield told(work, "columns")
    yield told(work, "columns", "price")
    yield told(work, "cautions")
    yield told(work, "help", "json")
    yield told(work, "blank")
    yield told(work, "blank", "--out", str(folder / "blank.csv"))
    with mock.patch("pricing.web.serve.serve", lambda _, sockets: [one.close() for one in sockets]):
        yield told(work, "web", "--port", "0")
    slip = folder / "slip"
    rows = [
        f"{i},electric dryer,8,good,2026-0{1 + i % 8}-10,2026-0{1 + i % 8}-20,{180 + i},sold"
        for i in range(1, 9)
    ]
    rows.append("10,electric dryer,8,good,2026-08-10,2026-08-20,1900,sold")
    sheet = folder / "slips.csv"
    sheet.write_text("unit,type,age,condition,listed,sold,price,outcome\n" + "\n".join(rows) + "\n")
    yield told(slip, "add", str(sheet))
    found = told(slip, "slip")
    yield found
    yield told(slip, "slip", found[0]["slips"][0]["unit"], "190")
    yield [
        refused(["ask", "zzz", "--json", "--home", str(demo)]),
        refused(["ask", "--nope", "--json"]),
    ]


def refused(words: list[str]) -> dict[str, Any]:
    """What a command that cannot be served answers."""
    run = [sys.executable, "-m", "pricing", *words]
    done = subprocess.run(run, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode in (1, 2), done
    return json.loads(done.stdout)


def by_schema(found: Iterator[list[dict[str, Any]]]) -> dict[str, list[dict[str, Any]]]:
    """The answers by the form that they say they have."""
    sorted_: dict[str, list[dict[str, Any]]] = {}
    for each in found:
        for one in each:
            sorted_.setdefault(one["schema"].partition("/")[0], []).append(one)
    return sorted_


def schemas(found: dict[str, list[dict[str, Any]]]) -> dict[str, dict[str, Any]]:
    """The schema of each form."""
    lines = {
        "error": "What a command that cannot be served answers.",
        "rule-list": "Your stop rules.",
    }
    made = {}
    for name, values in sorted(found.items()):
        head = {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": f"pricing {name}",
            "description": lines.get(name)
            or COMMANDS.get(name, ("", f"pricing {name.replace('-', ' ')}"))[1],
        }
        body = form(values)
        body["properties"]["schema"] = {"const": f"{name}/1"}
        made[name] = head | body
    return made


def in_a_home(work: Callable[[Path, Path], Any]) -> Any:
    """What `work` makes of a demo home and an empty folder."""
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as two:
        sys.path.insert(0, str(HERE))
        from conftest import DEMO_DAY, fill_demo_home

        fill_demo_home(Home(Path(one) / "home"), DEMO_DAY)
        return work(Path(one) / "home", Path(two))


def main(
    folder: Path = FOLDER, seeds: tuple[int, ...] = (1, 3, 4), step: int = 1
) -> dict[str, list[dict[str, Any]]]:
    """Write the forms of the answers, and give these; fewer see fewer of the fields that may be
    blank."""
    found: dict[str, list[dict[str, Any]]] = in_a_home(
        lambda demo, work: by_schema(answers(demo, work, seeds, step))
    )
    folder.mkdir(exist_ok=True)
    for name, schema in schemas(found).items():
        text = json.dumps(schema, ensure_ascii=False, indent=1)
        (folder / f"{name}.json").write_text(text + "\n", encoding="utf-8")
    return found


if __name__ == "__main__":
    main()
