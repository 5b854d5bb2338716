"""The tables that the reader of a sentence loads, made from the CSV files: sayings by their
compared form, signs, number patterns, lists of words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from word_source import SOURCE, names_in, read, shares_in

from pricing.words.sayings import plain_words
from pricing.words.tokens import tokens_of

# Read as a saying of its own although "same_words" would make it another word's.
# What is left of "was working" or "bites you" says too little.
LITTLE = "one piec|work|bit|c|haul|level|to fix|capacity|good|not|ok|fir|freez|chill|condition"
TOO_LITTLE = {*LITTLE.split("|")}
NOT_TOO = (
    "didnt cant cannot couldnt couldn't wouldnt wasnt wasn't arent aren't hasnt hasn't havent"
    " haven't neither nope nor none doesnt shouldn't won't don't dont"
)
NOT_SAME = {"burner", "one burner", "one eye", "an eye"}


def compiled_said(source: Path = SOURCE) -> dict[str, Any]:
    """Everything the reader needs, ready to be looked up."""
    same = _same_words(source)
    lists = _lists(source)
    tables: dict[str, Any] = {
        "same": {key: value for key, value in same.items() if key != value},
        "filler": _filler(source),
        "doings": next(r["words"] for r in read("listed", source) if r["list"] == "doings").split(
            "|"
        ),
    }
    names = _names(source, tables)
    of_fault = {(name[1], name[2]): n for n, name in enumerate(names) if name[0] == "fault"}
    signs, tag_signs = _signs(source, of_fault), _tag_signs(source)
    typos = {row["written"]: row["counts_as"] for row in read("same_words", source)
             if row["kind"] == "typo" and row["written"].isalpha()}  # fmt: skip
    whole = {
        **tables,
        "typos": typos,
        "names": names,
        "signs": signs,
        "tag_signs": tag_signs,
        "numbers": _numbers(source),
        "idle": " ".join(sorted(set(lists["idle"]))),
        "telling": " ".join(lists["telling"]).split(),
        "other_goods": lists["other goods"],
        "refused_goods": lists["refused goods"],
        "street": lists["street"],
        "makers": lists["makers"],
        "not_makers": lists["not makers"],
        "sides": {
            row["type"]: row["sides"].split("|") if row["sides"] else []
            for row in read("sides", source)
        },
        "families": {row["type"]: row["fault_family"].split(";") for row in read("types", source)},
        "kinds": {
            row["word"]: list(shares_in(row["may_be"])) for row in read("plain_words", source)
        },
        "fault_tags": _fault_tags(source),
        "narrower": _narrower(source),
        "listed": {row["list"]: row["words"].split("|") for row in read("listed", source)},
        **_of_several(source),
    }
    return whole | {"known": " ".join(_known(whole, lists))}


def _known(tables: dict[str, Any], lists: dict[str, list[str]]) -> list[str]:
    """Every word of the signs, number patterns and lists beside those of the sayings: none is a
    slip of letters."""
    sayings = {word for name in tables["names"] for said in name[3].values()
               for key in said.split("|") for word in key.split()}  # fmt: skip
    words = {word.replace("?", "") for row in tables["numbers"] for choices in row[3]
              for word in choices.split("|")}  # fmt: skip
    words |= {word for row in tables["signs"] for group in row[1] for choice in group
              for word in choice.split()}  # fmt: skip
    for name in ("other goods", "street", "not makers", "colors"):
        words |= {word for said in lists[name] for word in said.split()}
    return sorted(words - sayings)


def _same_words(source: Path) -> dict[str, str]:
    same: dict[str, str] = {}
    for row in read("same_words", source):
        written = " ".join(token["w"] for token in tokens_of(row["written"]))
        if row["kind"] in ("negation", "same") and written not in NOT_SAME:
            same[written] = row["counts_as"]
    for word in NOT_TOO.split():
        same[" ".join(token["w"] for token in tokens_of(word))] = "not"
    for key, value in list(same.items()):  # "wont" is "won't" is "not"
        whole = same.get(value, value)
        same[key] = " ".join(same.get(word, word) for word in whole.split())
    return same


def _filler(source: Path) -> list[str]:
    listed = next(row["counts_as"] for row in read("same_words", source)
                  if row["kind"].startswith("filler"))  # fmt: skip
    words = [word.strip() for word in listed.lstrip("= ").split(",")]
    more = "are were be has have had also still real super so pretty there that this of and to"
    more += " some when you we he she they i will do does did get gets got"
    keep = {"to", "and", "of", "do", "does", "did", "will", "when", "get", "gets", "got", "some"}
    return sorted({word for word in [*words, *more.split()] if " " not in word} - keep)


def _rows(source: Path) -> list[tuple[str, str, str, str, str]]:
    """(kind, family, canonical, saying, only for) of every table of sayings."""
    found: list[tuple[str, str, str, str, str]] = []
    faults = {(row["family"], row["fault_as_told"]) for row in read("faults", source)}
    for row in read("types", source):
        found.append(("type", "", row["type"], row["type"].split(" (")[0], ""))
    for row in read("plain_words", source):
        found.append(("plain word", "", row["word"], row["word"], ""))
    for family, fault in sorted(faults):
        only = fault[fault.rfind("(") + 1 : -1] if fault.endswith(")") else ""
        plain = only if only in ("gas", "electric", "top-load", "front-load", "induction") else ""
        found.append(("fault", family, fault, fault.split(" (")[0], plain))
    families_of: dict[str, set[str]] = {}
    for row in read("findings", source):
        families_of.setdefault(row["finding"], set()).add(row["family"])
    for finding, own in families_of.items():
        found.append(("finding", ";".join(sorted(own)), finding, finding.split(" (")[0], ""))
    for row in (*read("aliases", source), *read("more_sayings", source)):
        if row["holds"] == "no":
            found += _misleading(row, faults)
            continue
        family = "" if row["kind"] in ("type", "plain word") else row["family"]
        for said in row["said_as"].split("|"):
            found.append((row["kind"], family, row["canonical"], said, row["only_for"]))
    for row in read("told_as", source):
        for said in row["said_as"].split("|"):
            found.append((row["kind"].split(" ")[0], "", row["canonical"], said, ""))
    return found


def _misleading(
    row: dict[str, str], faults: set[tuple[str, str]]
) -> list[tuple[str, str, str, str, str]]:
    """A misleading phrase is a saying of the fault that its note names, in its family."""
    said = row["note"].removeprefix("means: ").split(". ")[0]
    found = []
    for family in row["family"].split(";"):
        name, _, side = family.strip().partition(" (")
        if (name, said) in faults or (("any", said) in faults and name == "any"):
            found.append(("fault", name, said, row["said_as"], side.rstrip(")")))
    return found


def _names(source: Path, tables: dict[str, Any]) -> list[list[Any]]:
    """[kind, family, name, {only for: its sayings as they are compared}] of what can be said."""
    names: list[list[Any]] = []
    places: dict[tuple[str, str, str], int] = {}
    taken: set[tuple[str, str, str, str]] = set()
    for kind, family, canonical, said, only in _rows(source):
        words = [token["w"] for token in tokens_of(said)]
        forms = [form for form in plain_words(words, tables) if form]
        if kind in ("fault", "finding"):
            forms = [form for form in forms if form not in ("and", "&")]
        if kind in ("type", "plain word"):  # the finish is a field of its own
            forms = [form for form in forms if form not in ("stainless", "white", "black")]
        key = " ".join(forms)
        little = key in TOO_LITTLE and (len(words) > 1 or kind == "finding")
        if little or not key or (kind, family, only, key) in taken:
            continue
        taken.add((kind, family, only, key))
        place = places.setdefault((kind, family, canonical), len(names))
        if place == len(names):
            names.append([kind, family, canonical, {}])
        names[place][3].setdefault(only, []).append(key)
    for name in names:
        name[3] = {only: "|".join(sorted(keys)) for only, keys in name[3].items()}
    return names


def _of_several(source: Path) -> dict[str, Any]:
    """Which faults say a wider one better, and which are told by two clauses together."""
    rows = read("wider", source)
    better = [row for row in rows if row["said_better_by"]]
    return {
        "wider": {row["fault"]: row["said_better_by"].split("|") for row in better},
        "together": [row["fault"] for row in rows if row["together"]],
    }


def _narrower(source: Path) -> dict[str, dict[str, str]]:
    """{name left open: {words beside it: the kind they tell}}."""
    found: dict[str, dict[str, str]] = {}
    for row in read("narrower", source):
        for said in row["said_as"].split("|"):
            key = " ".join(token["w"] for token in tokens_of(said))
            found.setdefault(row["word"], {})[key] = row["type"]
    return found


def _signs(source: Path, of_fault: dict[tuple[str, str], int]) -> list[list[Any]]:
    return [
        [of_fault[row["family"], row["fault_as_told"]], _groups(row["all_of"]),
         row["none_of"].split("|") if row["none_of"] else [], row["only_for"]]
        for row in (*read("more_signs", source), *read("signs", source))
    ] + _danger_signs(source, of_fault)  # fmt: skip


# The fault that a caution of perils.csv is told by, and for what it may be one.
DANGER_OF = {
    "gas smell": "gas smell", "carbon monoxide": "carbon monoxide alarm or yellow flame",
    "yellow flame": "carbon monoxide alarm or yellow flame", "pests": "pests",
    "sealed system told": "sealed system or refrigerant leak", "shock or tingle": "shock or tingle",
    "burnt cord or block": "burnt cord or plug", "sparks or fire": "sparks or fire",
    "flood": "flood-damaged", "heavy mold": "heavy mold", "recalled": "recalled",
}  # fmt: skip


def _danger_signs(source: Path, of_fault: dict[tuple[str, str], int]) -> list[list[Any]]:
    """What the gate takes for a danger is read as its fault, where no sign before it fits; a word
    that must stand whole ("=gas") ends with a blank."""
    found = []
    for row in read("perils", source):
        if (
            not row["all_of"].startswith("outlet|rec")
            and row["caution"] in DANGER_OF
            and row["only_for"] in ("", "cold")
            and not row["flat"]
        ):
            place = of_fault["danger", DANGER_OF[row["caution"]]]
            groups = [[_whole(one) for one in group] for group in _groups(row["all_of"])]
            away = [_whole(one) for one in row["none_of"].split("|") if one]
            found.append([place, groups, away, ""])
    return found


def _whole(choice: str) -> str:
    return choice[1:] + " " if choice.startswith("=") else choice


def _tag_signs(source: Path) -> list[list[Any]]:
    return [
        [row["tag"], _groups(row["all_of"]), row["none_of"].split("|") if row["none_of"] else []]
        for row in read("tag_signs", source)
    ]


def _groups(cell: str) -> list[list[str]]:
    """ "not & drain|empt" as [["not"], ["drain", "empt"]]."""
    return [[choice.strip() for choice in group.split("|")] for group in cell.split(" & ")]


def _numbers(source: Path) -> list[list[Any]]:
    """[role, factor, moments, [choices, …], how many tokens stand before the number]. An optional
    word before the number makes two patterns."""
    found: list[list[Any]] = []
    for row in read("numbers", source):
        variants: list[list[str]] = [[]]
        before_number = True
        for part in row["pattern"].split():
            if before_number and part.startswith("?") and part != "?":
                variants = [[*one, part[1:]] for one in variants] + variants
            else:
                variants = [[*one, part] for one in variants]
            before_number = before_number and part.lstrip("?") != "#"
        for pattern in variants:
            before = next(i for i, part in enumerate(pattern) if part.lstrip("?") == "#")
            top, _, under = row["factor"].partition("/")
            factor = [int(top), int(under or 1)]
            found.append([row["role"], factor, row["moment"], pattern, before])
    return found


def _lists(source: Path) -> dict[str, list[str]]:
    lists: dict[str, list[str]] = {}
    for row in read("lists", source):
        words = row["words"].split("|" if "|" in row["words"] else None)
        for word in words:
            plain = " ".join(token["w"] for token in tokens_of(word))
            if plain not in lists.setdefault(row["list"], []):
                lists[row["list"]].append(plain)
    return lists


def _fault_tags(source: Path) -> dict[str, str]:
    """{fault or finding: tag of its caution} where the table gives one."""
    plain = {"glass", "mould", "springs", "fire", "burnt wiring; fire"}
    tags = {row["fault_as_told"]: row["danger_tag"] for row in read("faults", source)
            if row["family"] == "danger" or row["danger_tag"] in plain}  # fmt: skip
    for row in read("findings", source):
        shown = row["danger_tag"] not in ("", "microwave", "fire") and row["finding"] != "fan motor"
        if shown or row["finding"].startswith("high-voltage"):
            tags[row["finding"]] = row["danger_tag"]
    return {name: "; ".join(names_in(tag)) for name, tag in tags.items()}
