"""All the cautions on one page."""

from __future__ import annotations

from pricing.advice.cautions import BENCH, CALL, FIRST, SALE, USUAL
from pricing.pages.text import wrap

_HEADINGS = (
    (CALL, "BEFORE AND DURING THE DRIVE"),
    (BENCH, "ON THE BENCH"),
    (SALE, "BEFORE AND AT THE SALE"),
)


def cautions_lines() -> list[str]:
    """Every caution in full, by the moment it matters."""
    lines = ["THESE COME FIRST: LEAVE IT, OR LEAVE IT CLOSED"]
    for caution in FIRST:
        lines += wrap(f"- {caution.full}", "  ")
    for stage, heading in _HEADINGS:
        lines += ["", heading]
        for caution in USUAL:
            if caution.stage == stage:
                lines += wrap(f"- {caution.full.replace(' (about {weight})', '')}", "  ")
    lines += [
        "",
        *wrap(
            "Your local code and licensed people decide; these lines only remind. They don't mean"
            " that all is well with a unit."
        ),
    ]
    return lines
