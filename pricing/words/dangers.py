"""The tags of cautions that the words bring."""

from __future__ import annotations

from typing import Any

from pricing.words.tokens import Table, Tables, Tokens
from pricing.words.troubles import UNTOLD, WORKS, ready_signs, sign_fits, text_of, without_one
from pricing.words.wordlists import LISTED


def tags_of(
    tokens: Tokens, forms: list[str], parts: Tables, units: Tables, tables: Table
) -> list[str]:
    """The tags of cautions that the words bring: by the faults and findings, and by signs."""
    tags: list[str] = []
    for unit in units:
        for name in [*unit["faults"], unit["found"], *unit["repair"]]:
            for tag in tables["fault_tags"].get(name, "").split("; "):
                if tag != "" and tag not in tags:
                    tags.append(tag)
        if unit["goods"] and unit["type"].startswith("gas ") and "gas" not in tags:
            tags.append("gas")
        if unit["type"] in tables["refused_goods"] or unit["type"] in (
            "water heater",
            "garbage disposer",
        ):
            if "refused" not in tags:
                tags.append("refused")
        broken = [n for n in unit["faults"] if n not in (WORKS, UNTOLD, "light out")]
        if "microwave" in unit["families"] and len(broken) > 0 and "microwave" not in tags:
            if (
                len(unit["families"]) == 1
                or len([n for n in broken if n in LISTED["microwave"]]) > 0
            ):
                tags.append("microwave")
    for part in parts:
        text = text_of(tokens, forms, part["start"], part["end"], [])
        cold = [f for f in units[part["unit"]]["families"] if f in ("fridge", "air")]
        _tag(without_one(text, ["no", "without", "never"]), tags, tables, len(cold) > 0)
    whole = text_of(tokens, forms, 0, len(tokens), [])
    for row in _tag_signs(tables):
        if row[0] in ("tip-over", "child entrapment", "live 240 V", "hot water", "move", "gas"):
            if row[0] not in tags and sign_fits(whole, row[1], row[2]) and row[0] != "gas":
                tags.append(row[0])
    return tags


def _tag_signs(tables: Table) -> list[Any]:
    if "ready_tags" not in tables:
        tables["ready_tags"] = ready_signs(tables["tag_signs"])
    return list(tables["ready_tags"])


def _tag(text: str, tags: list[str], tables: Table, cold: bool) -> None:
    """The tags whose signs the text of one part bears; what hisses at a cold unit is refrigerant,
    also where the unit is named in another part."""
    for row in _tag_signs(tables):
        said = text + "fridge " if cold and row[0] == "refrigerant" else text
        if row[0] not in tags and sign_fits(said, row[1], row[2]):
            tags.append(row[0])
