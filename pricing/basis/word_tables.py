"""Tables of words beside this module: `word_tables.txt`, theirs for ours, and `known_names.txt`."""

from pathlib import Path


def sections(path: Path) -> dict[str, list[str]]:
    """Section -> its entries, of a file of tables: "[name]", entries; indented lines go on."""
    found: dict[str, list[str]] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            entries = found.setdefault(line.strip("[]"), [])
        elif line.startswith(" "):
            entries[-1] += " " + line.strip()
        elif line and not line.startswith("#"):
            entries.append(line)
    return found


def read(entries: list[str]) -> dict[str, str]:
    """{their key: our word} of one of the tables.

    >>> read(["gas = natural gas, ng"])
    {'natural gas': 'gas', 'ng': 'gas'}
    """
    keys: dict[str, str] = {}
    for entry in entries:
        ours, _, theirs = entry.partition(" = ")
        keys |= {key.strip(): ours for key in theirs.split(",")}
    return keys


TABLES = sections(Path(__file__).with_suffix(".txt"))
_KNOWN = sections(Path(__file__).with_name("known_names.txt"))


def known_names(section: str) -> list[list[str]]:
    """The entries of a section of `known_names.txt`, each in its parts.

    >>> known_names("columns")[1]
    ['type', 'word', '', 'what it is: front-load washer, electric dryer, gas range, …']
    """
    return [[part.strip() for part in entry.split("|")] for entry in _KNOWN[section]]
