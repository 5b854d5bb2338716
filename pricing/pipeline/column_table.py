"""The table that every reading of a sheet shows: what a heading was taken for, and how surely."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from pricing.basis.frozen import frozen
from pricing.ingest.headings import IGNORED, Heading, is_computed
from pricing.pipeline.adding import Added

N_VALUES = 3
FACTS = ("encoding", "delimiter", "decimal", "date_order", "currency")
_CALLED = {
    "unit": "unit number", "got": "day got", "listed": "day listed", "sold": "day sold",
    "asked": "asking price", "price": "sale price", "cost_in": "all that went in",
    "hours": "hours of work", "miles": "miles one way", "made": "year made",
}  # fmt: skip
_SURE = {"said": "you said", "values": "by values"}


@frozen
class TakenFor:
    """One heading. called: what it was taken for, in words; column: by our name, "" where it is
    only kept; how: "sure", "likely" (a word with other meanings), "a guess" (mended spelling),
    "by values", "you said", or "" where it is not used."""

    heading: str
    called: str
    column: str
    how: str
    values: tuple[str, ...]


def taken_for(added: Added) -> list[TakenFor]:
    """A row for each heading of a file, in the file's order."""
    return [_row(heading, added) for heading in added.reading.facts.headings if heading.text]


def _row(heading: Heading, added: Added) -> TakenFor:
    column = "" if heading.column == IGNORED else heading.column
    found = (_value(heading, column, row) for row in added.first_rows)
    distinct = list(dict.fromkeys(_shown(value) for value in found if value not in (None, "")))
    values = tuple(distinct[:N_VALUES])
    if not column:
        called = "left out" if heading.column else "kept, not used"
        called = "worked out by the sheet" if is_computed(heading.text) else called
        return TakenFor(heading.text, called, "", "", values)
    sure = "a guess" if heading.slip else "likely" if heading.weak else "sure"
    how = _SURE.get(heading.how) or sure
    called = _CALLED.get(column, column.replace("_", " "))
    return TakenFor(heading.text, called, column, how, values)


def _value(heading: Heading, column: str, row: Mapping[str, Any]) -> Any:
    own = row.get(column) if column else row.get(heading.text)
    return row.get("made") if own is None and column == "age" else own


def _shown(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return f"{value:.2f}"
    text = f"{value:g}" if isinstance(value, float) else " ".join(str(value).split())
    return text if len(text) <= 20 else f"{text[:19]}…"


def as_dict(added: Added) -> dict[str, Any]:
    """What adding a sheet came to, for programs."""
    facts = added.reading.facts
    return {
        "file": added.file,
        "rows_seen": added.seen,
        **added.counts,
        "control_total": float(added.control_total),
        "dry_run": added.dry_run,
        "batch": added.entry.number if added.entry else None,
        "older": len(added.older),
        "gone": list(added.gone),
        "rejected_file": str(added.rejected_file) if added.rejected_file else None,
        "problems": [problem.as_dict() for row in added.rejected for problem in row.problems],
        "row_notes": [note.as_dict() for note in added.row_notes],
        "notes": [note.as_dict() for note in added.notes],
        "questions": [
            {"question": q.text, "options": list(q.options), "lines": list(q.lines)}
            for q in added.reading.questions
        ],
        "read_as": {
            **{name: getattr(facts, name) for name in FACTS},
            "columns": {heading.text: heading.column for heading in facts.headings},
            "table": [
                {"heading": one.heading, "taken_for": one.column or one.called, "how": one.how}
                | {"values": list(one.values)}
                for one in taken_for(added)
            ],
        },
    }
