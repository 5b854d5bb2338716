"""All the cautions on one page."""

from pricing.advice.cautions import every
from pricing.basis.settings import Settings
from pricing.pages.text import wrap
from pricing.words.gate import DEFER
from pricing.words.tables import rows

# What the table says of the answer, and the heading of those that say it.
_HEADINGS = (
    ("leave it", "LEAVE IT"),
    ("scrap only", "SCRAP ONLY"),
    ("licensed person", "LICENSED PERSON ONLY"),
    ("never as-is", "NEVER SOLD AS IT IS"),
    ("none", "KEEP IN MIND"),
)


def cautions_lines(settings: Settings) -> list[str]:
    """Every caution in full, the worst first."""
    effect = {row["name"]: row["effect"] for row in rows("cautions")}
    lines: list[str] = []
    for name, heading in _HEADINGS:
        lines += ["", heading] if lines else [heading]
        for caution in every(settings):
            if effect[caution.name] == name:
                lines += wrap(f"- {caution.short} {caution.full}", "  ")
    return [*lines, "", *wrap(DEFER), *wrap("They don't mean that all is well with a unit.")]
