"""The reading report of a dropped sheet, as the page shows it before anything is written."""

from __future__ import annotations

import csv
import io
import re
import shlex
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pricing.basis.columns import BY_NAME, MEANT
from pricing.basis.problems import Problem, refused
from pricing.pages.reading_report import counts_line, thinnest
from pricing.pages.text import exact
from pricing.web import forms
from pricing.web.listed import WORDS
from pricing.web.place import here

if TYPE_CHECKING:
    from werkzeug.datastructures import MultiDict

    from pricing.ingest.reading import Reading
    from pricing.pipeline.adding import Added

MOST = 50  # problems that one page shows


def shown_report(added: Added) -> dict[str, Any]:
    """What the template needs: counts, the sum to compare, questions, rows that need the person."""
    counts, n = added.counts, added.seen
    total = exact(added.control_total, here().settings().currency)
    questions = _questions(added)
    needs = [problem for row in added.rejected for problem in row.problems[:1]]
    look_at = [*(note for row in added.reading.rows for note in row.notes), *added.notes]
    above = "answer above" if questions else ""
    new = counts["accepted"] + counts["changed"]
    return {
        "first_line": f"{n:,} row{'' if n == 1 else 's'} seen: {counts_line(counts)}.",
        "total": total if added.reading.rows else "",
        "questions": questions,
        "needs": [_row(one, above) | {"mend": _can_mend(one, added)} for one in needs[:MOST]],
        "columns": added.reading.columns,
        "choices": choices(),
        "n_needs": len(needs),
        "look_at": [_row(problem) for problem in look_at[:MOST]],
        "n_look_at": len(look_at),
        "older": len(added.older),
        "gone": added.gone[:5],
        "n_gone": len(added.gone),
        "thin": thinnest(added.filled, len(added.reading.rows)),
        "words": [f"{theirs} = {ours}" for theirs, ours, _ in added.words[:12]],
        "can_add": new > 0,
        "nothing_new": new == 0 and counts["unchanged"] > 0,
    }


def _questions(added: Added) -> list[dict[str, Any]]:
    """What only the person can say, each with its presses; one press for all that is proposed."""
    questions = []
    for one in added.reading.questions:
        answers = [((option,), _said(option)) for option in one.options]
        questions.append({"text": one.text, "waiting": len(one.lines), "answers": answers})
    sure = added.reading.proposed
    if len(sure) > 1:
        text = "All of these columns, if that is right:"
        questions.append({"text": text, "waiting": 0, "answers": [(sure, "Yes, all of them")]})
    return questions


def choices() -> list[tuple[str, str]]:
    """What a heading may be taken for, in the words of the page."""
    words = {name: WORDS.get(name, name.replace("_", " ")) for name in BY_NAME}
    return [("ignore", "left out"), *sorted(words.items(), key=lambda one: one[1])]


def headers_said(form: MultiDict[str, str]) -> tuple[str, ...]:
    """The headings that were given another meaning, as options of the command line."""
    rows = zip(*(form.getlist(name) for name in ("theirs", "was", "ours")), strict=True)
    return tuple(
        f"--header {shlex.quote(f'{theirs[:200]}={ours}')}"
        for theirs, was, ours in rows
        if ours != was and (ours == "ignore" or ours in BY_NAME)
    )


def _can_mend(problem: Problem, added: Added) -> bool:
    """Whether the cell can be typed anew here: of a text file, where it is known which it is."""
    texts = [heading.text for heading in added.reading.facts.headings]
    plain = len(added.reading.facts.delimiter) == 1 and problem.line is not None
    return plain and texts.count(problem.column or "") == 1


def mended(data: bytes, reading: Reading, typed: Sequence[tuple[str, str, str]]) -> bytes:
    """A sheet with some cells (line, heading, text) typed anew. Refused where a row is another."""
    facts = reading.facts
    lines = data.decode(facts.encoding).split("\n")
    texts = [heading.text for heading in facts.headings]
    rejected = {str(row.line): row for row in reading.rejected}
    for line, heading, text in typed:
        row = rejected.get(line)
        cells = next(csv.reader([lines[int(line) - 1]], delimiter=facts.delimiter)) if row else []
        if row is None or heading not in texts or len(cells) <= texts.index(heading):
            what = f"line {forms.short(line)} cannot be mended here"
            raise refused(what, "mend it in your sheet")
        cells[texts.index(heading)] = text
        out = io.StringIO()
        csv.writer(out, delimiter=facts.delimiter, lineterminator="").writerow(cells)
        lines[int(line) - 1] = out.getvalue()
    return "\n".join(lines).encode(facts.encoding)


def header_answers(problems: Sequence[Problem]) -> list[tuple[tuple[str, ...], str]]:
    """How presses may answer a sheet that could not be read: options, and what they say."""
    answers = []
    for problem in problems:
        columns = dict(re.findall(r'--header "([^"…]+)=([a-z_]+)"', problem.fix or ""))
        ours = next((column for column in columns.values() if column != "ignore"), "")
        for taken in columns if ours else ():
            said = ((other, ours if other == taken else "ignore") for other in columns)
            options = tuple(f'--header "{other}={what}"' for other, what in said)
            answers.append((options, f"“{forms.short(taken)}” is the {ours.replace('_', ' ')}"))
    return answers


def without_options(problem: Problem, instead: str = "") -> Problem:
    """The same problem without what only the command line understands."""
    if "--" not in (problem.fix or ""):
        return problem
    plain = "; ".join(part for part in problem.fix.split("; ") if "--" not in part)
    return replace(problem, fix=plain or instead)


def _row(problem: Problem, instead: str = "") -> dict[str, Any]:
    problem = without_options(problem, instead)
    column, value = problem.column or "", problem.value or ""
    cell = f"{column}: {forms.short(value, 60)}" if column and value else column
    said = {"column": column, "value": value}
    return {"line": problem.line, "cell": cell, "what": forms.sentence(problem), **said}


def _said(option: str) -> str:
    """An answer in words, of the option that the command line would take."""
    words = {
        "--date-order mdy": "month first: 3/14 is March 14",
        "--date-order dmy": "day first: 14/3 is March 14",
        "--date-order ymd": "year first: 2026/3/14",
        "--decimal .": "a point: 1,250.50",
        "--decimal ,": "a comma: 1.250,50",
    }
    if option in words:
        return words[option]
    name, _, value = option.partition(" ")
    value = value.strip("'\"")
    if name == "--year":
        return f"the first row is of {value}"
    if name == "--ended":
        return f"they were {value}"
    if name == "--word":
        return f"“{value.rpartition('=')[0]}” means {value.rpartition('=')[2]}"
    if name == "--describe":
        return f"yes, take it from “{value}”"
    if name == "--header":
        theirs, _, ours = value.rpartition("=")
        meant = MEANT[ours] if ours in MEANT else ours.replace("_", " ")
        return f"“{theirs}” is the {meant}" if ours != "ignore" else f"leave “{theirs}” out"
    return option
