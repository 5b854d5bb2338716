"""What is said when all rows of a file were read: notes, and the questions that rows wait for."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from pricing.basis.columns import OUTCOMES
from pricing.basis.problems import Problem
from pricing.ingest.draft import Rules
from pricing.ingest.encoding import Decoded, name_of
from pricing.ingest.headings import is_computed
from pricing.ingest.reading import FileQuestion, Rejected


def closing_notes(rules: Rules, decoded: Decoded) -> list[Problem]:
    """What is only known when every row was read: unknown columns, words, a doubtful alphabet."""
    notes: list[Problem] = []

    def note(what: str, fix: str = "", column: str | None = None) -> None:
        notes.append(Problem(what, fix, file=rules.file, column=column))

    for one in rules.headings:
        if one.slip:
            fix = f'say otherwise with --header "{one.text}=…"'
            note(f"the header {one.text!r} was taken as {one.column}", fix)
    unknown = [heading.text for heading in rules.headings if not heading.column and heading.text]
    computed = [text for text in unknown if is_computed(text)]
    other = [text for text in unknown if not is_computed(text)]
    if computed:
        note(f"worked out by the sheet, not used: {', '.join(computed[:8])}")
    if other:
        more = f" and {len(other) - 8} more" if len(other) > 8 else ""
        what = f"columns I do not know, kept as they are: {', '.join(other[:8])}{more}"
        note(what, f'use one with --header "{other[0]}=…"')
    for column, words in rules.counts.get("word", {}).items():
        listed = ", ".join(repr(word[:30]) for word in list(words)[:5])
        fix = f"say what they mean under [words.{column}s] in pricing.toml"
        note(f"{column} words I do not know, kept as yours: {listed}", fix)
    for kind, (read, fix) in _OF_NOTHING.items():
        for header, cells in rules.counts.get(kind, {}).items():
            for word, n in cells.items():
                was = "was" if n == 1 else "were"
                note(f"{_cells_of(word, n)} under {header!r} {was} {read}", fix, header)
    for header, cells in rules.counts.get("year beside", {}).items():
        n = sum(cells.values())
        day = "1 day without a year" if n == 1 else f"{n:,} days without a year"
        note(f"{day} under {header!r}: the year goes by the other days of the row", column=header)
    if decoded.told:
        note(decoded.told)
    if not decoded.sure:
        what = f"read as {name_of(decoded.encoding)} text, which may be wrong: {decoded.example!r}"
        note(what, "say which with --encoding cp1252, mac_roman or cp850")
    return notes


_OF_NOTHING = {
    "below": ("read as money spent", "put money that came in under another heading"),
    "none yet": ("left blank: those units were not sold", ""),
    "dash": (
        "read as nothing spent",
        "write the amounts, or empty those cells if they are unknown",
    ),
    "unknown": ("left blank", "write 0 where nothing was spent"),
}


def _cells_of(word: str, n: int) -> str:
    if word == "below 0":
        return f"{n:,} amount{'s' if n > 1 else ''} below 0"
    if word == "-":
        return f"{n:,} {'dash' if n == 1 else 'dashes'}"
    return f"{n:,} cell{'s' if n > 1 else ''} {word!r}"


_ASKED_BY_ROWS = {
    "date_order": ("Are these dates day first or month first?", ("--date-order mdy",
        "--date-order dmy")),
    "decimal": ("Is the decimal mark in this file a point or a comma?", ('--decimal "."',
        '--decimal ","')),
    "year": ("Dates carry no year. Which year is the first row?", ("--year {year}",)),
    "slash": ("Is 300/275 asked 300 and sold for 275?", ("--slash asked/sold",)),
    "ended": ("What became of units that have a last day but no price?", ("--ended scrapped",
        "--ended parted", "--ended kept")),
}  # fmt: skip


def waiting(
    asked: Sequence[FileQuestion], rejected: Sequence[Rejected], today: date
) -> list[FileQuestion]:
    """The questions, each with the rows that wait for it; what single rows miss is asked too."""

    def lines_for(option: str) -> tuple[int, ...]:
        of = ((row.line, {one.option for one in row.problems}) for row in rejected)
        return tuple(line for line, options in of if option in options)

    def named(question: FileQuestion) -> str:
        """`--date-order mdy` is an answer of date_order."""
        return question.options[0].partition(" ")[0].lstrip("-").replace("-", "_")

    questions = [replace(one, lines=one.lines or lines_for(named(one))) for one in asked]
    known = {named(question) for question in asked}
    for option, (text, options) in _ASKED_BY_ROWS.items():
        if option not in known and (lines := lines_for(option)):
            choices = tuple(choice.format(year=today.year) for choice in options)
            questions.append(FileQuestion(text, choices, lines))
    return questions + _of_words(rejected)


def _of_words(rejected: Sequence[Rejected]) -> list[FileQuestion]:
    """What became of units, in words that nobody knows: each asked once."""
    words: dict[str, list[int]] = {}
    for row in rejected:
        for problem in row.problems:
            if problem.option == "word":
                words.setdefault(problem.value or "", []).append(row.line)
    return [
        FileQuestion(
            f"What became of a {said!r} unit?",
            tuple(f'--word "{said}={one}"' for one in OUTCOMES[:7]),
            tuple(lines),
        )
        for said, lines in words.items()
    ]
