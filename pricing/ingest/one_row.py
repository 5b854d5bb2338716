"""One record -> one unit's row, or the reasons why not: shape, cells, the row as a whole."""

from pricing.ingest import cells, checks, dialect, headings, reading
from pricing.ingest.draft import Draft, Rules


def read_row(record: dialect.Record, number: int, rules: Rules) -> reading.Row | reading.Rejected:
    """The row of one record. number: its place among the file's rows, from 1."""
    draft = Draft(record, number, rules)
    _check_shape(draft)
    if draft.problems:
        return draft.done()
    if record.line in rules.stray_lines:
        what = "a character on this line could not be read for sure"
        draft.note(what, fix="look at the accents on this line")
    for place, heading in enumerate(rules.headings):
        text = record.cells[place] if place < len(record.cells) else ""
        if text and heading.column != headings.IGNORED:
            if cells.differs_by_row(rules, heading, record.line):
                cells.read_cell(draft, heading, text)
            else:
                draft.take(cells.read_alone(rules, place, text))
    checks.settle_type(draft)
    if rules.question:
        return draft.done()
    checks.settle_age(draft)
    checks.settle_outcome(draft)
    checks.check_events(draft)
    checks.check_figures(draft)
    return draft.done()


def _check_shape(draft: Draft) -> None:
    """Too many cells shift values; too few, where nothing says why, may have lost the price."""
    record, rules = draft.record, draft.rules
    width = len(rules.headings)
    if record.broken:
        fix = (
            "save that table as a file of its own"
            if record.foreign
            else "mend the quotation marks on this line"
        )
        draft.reject(record.broken, fix=fix)
        return
    if any(cell.strip() for cell in record.cells[width:]):
        what = (
            f"this row has {len(record.cells)} cells, the header has {width}: its values may stand"
            " in the wrong columns"
        )
        draft.reject(what, fix="put the cell that holds the delimiter in quotes")
        return
    missing = [heading.column for heading in rules.headings[len(record.cells) :]]
    essential = {"price", "sold", "outcome", "type"} & set(missing)
    if essential - {"outcome"} and not rules.trims and not rules.question:
        draft.reject(
            f"this row stops after {len(record.cells)} of {width} cells",
            fix="fill in the missing cells, or empty ones",
        )
