"""The reading report of a dropped sheet, as the page shows it before anything is written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pricing.basis.problems import Problem
from pricing.pages.reading_report import counts_line, thinnest
from pricing.pages.text import exact
from pricing.web import forms
from pricing.web.place import here

if TYPE_CHECKING:
    from pricing.pipeline.adding import Added

MOST = 50  # problems that one page shows


def shown_report(added: Added) -> dict[str, Any]:
    """What the template needs: counts, the sum to compare, questions with their answers, rows that
    need the person."""
    counts = added.counts
    total = exact(added.control_total, here().settings().currency)
    questions = [
        {
            "text": question.text,
            "waiting": len(question.lines),
            "answers": [(option, _said(option)) for option in question.options],
        }
        for question in added.reading.questions
    ]
    needs = [problem for row in added.rejected for problem in row.problems[:1]]
    look_at = [*(note for row in added.reading.rows for note in row.notes), *added.notes]
    return {
        "first_line": (
            f"{added.seen:,} row{'' if added.seen == 1 else 's'} seen: {counts_line(counts)}."
        ),
        "total": total if added.reading.rows else "",
        "questions": questions,
        "needs": [_row(problem, "answer above" if questions else "") for problem in needs[:MOST]],
        "n_needs": len(needs),
        "look_at": [_row(problem) for problem in look_at[:MOST]],
        "n_look_at": len(look_at),
        "older": len(added.older),
        "gone": added.gone[:5],
        "n_gone": len(added.gone),
        "thin": thinnest(added.filled, len(added.reading.rows)),
        "words": [f"{theirs} = {ours}" for theirs, ours, _ in added.words[:12]],
        "can_add": counts["accepted"] + counts["changed"] > 0,
        "nothing_new": counts["accepted"] + counts["changed"] == 0 and counts["unchanged"] > 0,
    }


def header_answers(problems: Sequence[Problem]) -> list[tuple[tuple[str, ...], str]]:
    """What a sheet that could not be read may be answered with by a press: options of the command
    line, and what they say in words."""
    found = [
        dict(re.findall(r'--header "([^"…]+)=([a-z_]+)"', problem.fix or ""))
        for problem in problems
    ]
    answers = []
    for columns in found:
        ours = next((column for column in columns.values() if column != "ignore"), "")
        for taken in columns if ours else ():
            options = tuple(
                f'--header "{other}={ours if other == taken else "ignore"}"' for other in columns
            )
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
    cell = (
        f"{problem.column}: {forms.short(problem.value, 60)}"
        if problem.column and problem.value
        else (problem.column or "")
    )
    return {"line": problem.line, "cell": cell, "what": forms.sentence(problem)}


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
    if name == "--describe":
        return f"yes, take it from “{value}”"
    if name == "--header":
        theirs, _, ours = value.rpartition("=")
        return (
            f"“{theirs}” is the {ours.replace('_', ' ')}"
            if ours != "ignore"
            else f"leave “{theirs}” out"
        )
    return option
