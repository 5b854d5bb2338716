"""The one gate that every answer passes through: which cautions a unit calls for, and whether they
leave any room for money. Plain functions over lists and dicts, as `perils`.

What is told (in words, fields, findings, notes) comes first and in full; what the kind calls for at
this moment comes after it. Where the table says "leave it", "scrap only" or "licensed person", the
decision is a word of its own and no figure of an answer stands against it.
"""

from typing import Any

from pricing.words.perils import perils_in

LEAVE, SCRAP_ONLY, LICENSED, MEND_FIRST = "leave", "scrap_only", "licensed", "mend_first"
CALL, BENCH, SALE = "call", "bench", "sale"
DECISIONS = {"leave it": LEAVE, "scrap only": SCRAP_ONLY, "licensed person": LICENSED}
RANK = {"leave it": 0, "scrap only": 1, "licensed person": 2, "never as-is": 3, "none": 4}
STAGES = {CALL: ("call", "door"), BENCH: ("bench",), SALE: ("sale",)}
# Rows that remind of a kind whatever is told. Others that name faults, findings or words wait for
# one of them.
OF_KIND = ("dehumidifiers", "stored or scrapped doors", "not a resale unit", "propane or natural",
           "3 or 4 wires", "live test", "lint and bypass", "stored charge")  # fmt: skip
ALONE = ("before 1980", "not a resale unit")  # kinds that decide whatever is told
OFTEN = (
    0.25  # share of the kinds that a plain word leaves open from which one decides. Own judgement.
)
# A microwave with one of these alone needs nothing under its cover.
OUTSIDE_FAULTS = ("", "works; owner upgraded", "turntable won't turn", "light out",
                  "dents or scratches only", "parts missing", "door, lid or handle broken",
                  "worked when stored")  # fmt: skip
# Public law of the United States, and what stands in its place elsewhere.
LAW = (
    (" (EPA 608)", ""),
    (" (15 USC 2068)", ""),
    (" (40 CFR 82.154)", ""),
    ("may not be sold or given away", "don't sell it or give it away"),
    ("letting refrigerant out on purpose is unlawful", "letting refrigerant out does harm"),
    ("Selling, offering or giving away a recalled product is unlawful, for private persons too,",
     "Don't sell, offer or give away a recalled product"),
    (" (unlawful with doors on in most states)", ""),
    ("Spoken promises count as warranty; ", "Spoken promises may count as warranty; "),
    ("call the gas company or 911", "call the gas company or the emergency number"),
    ("911 from outside", "call for help from outside"),
)  # fmt: skip
DEFER = "Your local code and licensed people decide; these lines only remind."


def verdict(
    unit: dict[str, Any],
    stage: str,
    kind: dict[str, Any],
    cautions: list[dict[str, Any]],
    signs: list[dict[str, Any]],
) -> dict[str, Any]:
    """What stands above the arithmetic. unit: text (all that was said and written), tags (that the
    reader heard), faults, found (canonical names), repaired, recall_checked (whether written);
    kind: types {name: share}, families, known, resale, cold, gas ("yes", "maybe", "no"), made
    (years it may be from), weight_lb, weight (as text), us (whether US laws hold).

    Back: decision ("" or LEAVE, SCRAP_ONLY, LICENSED, MEND_FIRST), as_is (False: never),
    free_only, scrap (whether the yard may have it), dangers and cautions (lists of
    {name, tag, line, full}).
    """
    kind = _with_one_above(kind, unit["text"].lower())
    told = perils_in(unit["text"], kind, signs)
    for tag in unit["tags"]:
        told = [*told, *_row_of(tag, cautions, kind, told)]
    dangers: list[list[Any]] = []
    usual: list[dict[str, Any]] = []
    out: dict[str, Any] = {"decision": "", "as_is": True, "free_only": False, "scrap": True}
    worst = 9
    for row in cautions:
        how = _how(row, unit, kind, stage, told)
        if how == "":
            continue
        said = _said(row, kind)
        if how == "usual":
            usual.append(said)
            continue
        rank = RANK[row["effect"]]
        at = 0
        while at < len(dangers) and dangers[at][0] <= rank:
            at = at + 1
        dangers = [*dangers[0:at], [rank, said], *dangers[at:]]
        if how == "warns":
            continue
        decision = _decision(row, stage, unit["repaired"])
        if decision != "" and rank < worst:
            worst = rank
            out["decision"] = decision
        out["as_is"] = out["as_is"] and not row["as_is"].startswith("no")
        out["free_only"] = out["free_only"] or row["go"] == "only if free"
        out["scrap"] = out["scrap"] and row["scrap"].startswith("yes")
    out["dangers"] = [one[1] for one in dangers]
    out["cautions"] = usual
    return out


# Tags whose first row decides: the reader heard it in words that no sign of `perils` knows.
DECIDING_TAGS = ("shock", "pests", "flood", "stolen", "burnt wiring", "glass", "recall", "co")


def _with_one_above(kind: dict[str, Any], text: str) -> dict[str, Any]:
    """An oven that may have a microwave above it has one where one is told, else hardly ever."""
    above = {one: kind["types"][one] for one in kind["types"] if "microwave" in one}
    if len(above) == 0 or len(above) == len(kind["types"]):
        return kind
    bare = [one for one in kind["families"] if one != "microwave"]
    if text.find("micro") >= 0:
        return {**kind, "types": above, "families": [*bare, "microwave"]}
    if sum(list(above.values())) >= OFTEN:
        return kind
    types = {one: kind["types"][one] for one in kind["types"] if one not in above}
    return {**kind, "types": types, "families": bare}


def _row_of(
    tag: str, cautions: list[dict[str, Any]], kind: dict[str, Any], told: list[str]
) -> list[str]:
    """The row that a heard tag stands for: a reminder, one that names words before the others."""
    rows = [row for row in cautions if row["tag"] == tag]
    if tag in DECIDING_TAGS:
        known = [row for row in rows if row["name"] in told]
        return [rows[0]["name"]] if len(known) == 0 else []
    rows = [row for row in rows if row["name"] not in told and row["effect"] == "none"]
    rows = [row for row in rows if _of_types(row, kind)]
    named = [row["name"] for row in rows if len(row["words"]) > 0]
    return [*named, *[row["name"] for row in rows]][0:1]


def _how(
    row: dict[str, Any], unit: dict[str, Any], kind: dict[str, Any], stage: str, told: list[str]
) -> str:
    """ "" (not called for), "usual" (by the kind), "warns" (told, nothing follows) or "decides"."""
    name = row["name"]
    if name in told:
        return "warns" if row["effect"] == "none" else "decides"
    if not _of_types(row, kind):
        return ""
    if len([word for word in unit["found"] if word in row["findings"]]) > 0:
        return "usual" if row["effect"] == "none" else "decides"
    if len([word for word in unit["faults"] if word in row["faults"]]) > 0:
        if row["effect"] == "none":
            return "usual" if _now(row, stage) else ""
        # "no heat (gas)" is an igniter more often than a valve: told of, decided by the finding
        return "warns" if row["go"] == "yes" and row["effect"] != "never as-is" else "decides"
    if name == "microwave":
        inside = [word for word in unit["faults"] if word not in OUTSIDE_FAULTS]
        if len(inside) > 0 and len(kind["families"]) == 1:
            return "decides"
        return "warns" if stage != SALE else ""
    if name == "dehumidifiers":
        if unit["recall_checked"] or not _made_2003_to_2017(kind):
            return ""
        # who lists one holds the plate in his hand: the line comes first, and the ask after it
        return "warns" if stage == SALE and unit["repaired"] else "decides"
    if name in ALONE or (name == "old latch door" and _all_before(kind, 1959)):
        return "decides"
    if name == "old latch door":
        return ""
    if row["effect"] != "none" or not _now(row, stage):
        return ""
    if row["tag"] == "recall" and unit["recall_checked"]:
        return ""
    only_told = len(row["faults"]) > 0 or len(row["findings"]) > 0 or len(row["words"]) > 0
    return "" if only_told and name not in OF_KIND else "usual"


# What a repair that was done can mend: a sealed system by a certified person, a valve by a licensed
# one, who say so by writing it down as done.
MENDED = ("microwave", "gas parts", "yellow flame", "sealed system told")


def _decision(row: dict[str, Any], stage: str, repaired: bool) -> str:
    """A repaired unit may be sold after what a repair can mend; not flood, fire, pests, gas."""
    if row["effect"] == "never as-is":
        return MEND_FIRST if stage == SALE and not repaired else ""
    if stage == SALE and repaired and row["name"] in MENDED:
        return ""
    return DECISIONS[row["effect"]]


def _now(row: dict[str, Any], stage: str) -> bool:
    return len([one for one in row["stage"] if one in STAGES[stage]]) > 0


def _of_types(row: dict[str, Any], kind: dict[str, Any]) -> bool:
    """Whether the row holds for any of its kinds where it decides, for most where it reminds."""
    share = 0.0
    for one in row["types"]:
        if one == "all":
            return True
        if one.startswith("all over "):
            return bool(kind["weight_lb"] > float(one.split(" ")[2]))
        if one == "all made before 1980":
            return _all_before(kind, 1980)
        if one.startswith("family "):
            if one[7:] in kind["families"]:
                share = share + 1.0
        else:
            share = share + kind["types"].get(one, 0.0)
    if row["tag"] == "gas" and row["effect"] == "none" and kind["gas"] == "no":
        return False
    return share > 0 if row["effect"] != "none" else share >= 0.5


def _all_before(kind: dict[str, Any], year: int) -> bool:
    return len(kind["made"]) > 0 and len([one for one in kind["made"] if one >= year]) == 0


def _made_2003_to_2017(kind: dict[str, Any]) -> bool:
    """Those under recall; an age that nobody knows may be one of them."""
    held = [one for one in kind["made"] if 2002 <= one <= 2018]
    return len(kind["made"]) == 0 or len(held) > 0


def _said(row: dict[str, Any], kind: dict[str, Any]) -> dict[str, Any]:
    """The row's line and full text, with the weight, and the laws of the place alone."""
    line = row["line"].replace("{weight}", kind["weight"])
    full = row["full"].replace("{weight}", kind["weight"])
    line, full = by_law(line, kind["us"]), by_law(full, kind["us"])
    return {"name": row["name"], "tag": row["tag"], "line": line, "full": full}


def by_law(text: str, us: bool) -> str:
    """A text with the laws of the United States, or with what stands in their place."""
    if us:
        return text
    for ours, elsewhere in LAW:
        text = text.replace(ours, elsewhere)
    return text
