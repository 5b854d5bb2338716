"""Makes the reference pages of the guide from the tables: settings, columns, commands and the fields
of the answers in JSON.

    python tests/make_reference.py

It also runs the commands whose outputs README.md prints, and prints them anew.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import click

from pricing.basis.columns import COLUMNS
from pricing.basis.settings import KEYS, TABLES
from pricing.basis.settings_file import allowed, shown
from pricing.cli import COMMANDS, group
from pricing.cli.settings_cmd import headings

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
SCHEMAS = ROOT / "pricing" / "schemas"
OF_TABLES = {
    "usual_price": '`"gas range" = 250`: what you usually get for a type, working, 5 to 8 years old',
    "new_price": '`"gas range" = 900`: what a new one costs where you are',
    "attributes": '`Mileage = "log"`: a column of your own that teaches the price: number, log,'
    " category or ordered",
    "headers": '`"Got for it" = "price"`: what one of your headings means',
    "words": "`[words.types]`, `[words.conditions]`, `[words.outcomes]`, `[words.faults]`: your word ="
    " ours",
    "assumed": '`[assumed.types."electric dryer"]`, `[assumed.faults."no heat"]`: starting figures of'
    " your own",
}


def settings_page() -> str:
    """Every key and table of pricing.toml."""
    rows = [
        f"| `{key.name}` | {key.meaning} | {allowed(key)} | {shown(key.default)} | {key.source} |"
        for key in KEYS
    ]
    tables = [f"- `[{name}]`: {OF_TABLES[name]}" for name in TABLES]
    return "\n".join(
        [
            "# Settings",
            "",
            "`pricing settings` shows yours, `pricing settings KEY` explains one, `pricing settings KEY"
            " VALUE` changes it,",
            "`pricing settings KEY default` takes your line out. They stand in `pricing.toml` in the"
            " folder of your record, a",
            "text file that you may also edit: `hourly_target = 35` on a line of its own. Another currency"
            ' is `currency = "EUR"`,',
            'kilometers `distance_unit = "km"`, kilograms `weight_unit = "kg"`. Starting prices are US'
            " dollars: with another",
            "currency write your own under `[usual_price]`.",
            "",
            "| key | what it is | may be | default | where the default comes from |",
            "|---|---|---|---|---|",
            *rows,
            "",
            "Tables, each on a line of its own with its entries below it:",
            "",
            *tables,
            "",
        ]
    )


def columns_page() -> str:
    """Every column of a sheet."""
    rows = [
        f"| `{one.name}` | {one.meaning} | {one.unit or one.kind} | {', '.join(headings(one.name)[:6])} |"
        for one in COLUMNS
    ]
    return "\n".join(
        [
            "# Columns",
            "",
            "Use the ones you have, in any order, under your own headings. Only the type must be there,"
            " and for a sold unit",
            "price and day. `pricing columns NAME` lists all headings that are read as a column.",
            "",
            "| column | what it holds | unit or kind | read from headings like |",
            "|---|---|---|---|",
            *rows,
            "",
        ]
    )


def commands_page() -> str:
    """Every command with its options."""
    out = [
        "# Commands",
        "",
        "Each has `--help` with examples. Words need quotes only where they hold a sign that your shell"
        " reads itself.",
        "",
        "**Completion** of commands, options, types, conditions and unit numbers with the Tab key:",
        "",
        '- bash: put `eval "$(_PRICING_COMPLETE=bash_source pricing)"` into `~/.bashrc`',
        '- zsh: put `eval "$(_PRICING_COMPLETE=zsh_source pricing)"` into `~/.zshrc`',
        "- fish: put `_PRICING_COMPLETE=fish_source pricing | source` into"
        " `~/.config/fish/completions/pricing.fish`",
        "",
    ]
    with click.Context(group) as context:
        for name, (_, line) in COMMANDS.items():
            command = group.get_command(context, name)
            assert command is not None
            out += [f"## pricing {name}", "", line, ""]
            out += [*_options(command), ""]
    return "\n".join(out)


def _options(command: click.Command) -> list[str]:
    return [
        f"- `{', '.join((*one.opts, *one.secondary_opts))}`: {one.help}"
        for one in command.params
        if isinstance(one, click.Option) and not one.hidden and one.name != "help"
    ]


def json_page() -> str:
    """The fields of the answers."""
    out = [
        "# JSON",
        "",
        "Every command takes `--json`: one object on one line, sheets (`--from`) one line a row. Money is"
        " in your currency,",
        "chances are 0 to 1, days are YYYY-MM-DD, `null` is not known. Exit code 0 is done, 1 that the"
        " data or the question could not be served, 2 wrong usage, 130 stopped by Ctrl-C. With 1 and"
        ' 2 the answer is `{"error": {"code": …, "message": …, "remedy": …}, "problems": […]}`,',
        'and the standard error holds `{"problem":',
        '{"what": …, "fix": …, "file": …, "line": …, "column": …, "value": …, "expected": …}}`, one line a'
        " problem.",
        "",
        "In every answer, `standing` says of each number YOURS, PART or GUESS, `decision` is not empty"
        " where a danger decides and",
        "no money is named, `as_read` is the question as it was understood, and ranges are `low`,"
        " `median`, `high`.",
    ]
    out += [
        "",
        "Each begins with `schema` (`ask/1`: the form of its fields, a JSON Schema in the folder"
        " `pricing/schemas` of the",
        "installed package; the number rises when a field changes its meaning), `version`, `currency`"
        " and `as_of`. These are all the",
        "forms, with their fields.",
    ]
    for path in sorted(SCHEMAS.glob("*.json")):
        schema = json.loads(path.read_text(encoding="utf-8"))
        del schema["properties"]["schema"]
        out += ["", f"## {path.stem}", "", schema["description"], ""]
        out += [f"- `{field}`: {kind}" for field, kind in _flat(schema)]
    return "\n".join([*out, ""])


KINDS = {"string": "text", "boolean": "true or false"}


def _flat(schema: Any, before: str = "") -> list[tuple[str, str]]:
    """Field and kind; fields of a list's entries as `list[].field`; maps by own words are not opened."""
    found: list[tuple[str, str]] = []
    for name, one in schema.get("properties", {}).items():
        here = f"{before}{name}"
        parts = one.get("anyOf", [one])
        kinds = [part["type"] for part in parts if "type" in part]
        kinds = [kind for each in kinds for kind in (each if isinstance(each, list) else [each])]
        inner = [
            row
            for part in parts
            for row in _flat(part, f"{here}.") + _flat(part.get("items", {}), f"{here}[].")
        ]
        said = [KINDS.get(kind, kind) for kind in kinds if kind not in ("object", "array")]
        said += ["list"] if "array" in kinds and not inner else []
        said += ["fields"] if "object" in kinds and not inner else []
        found += [(here, " or ".join(said))] if said else []
        found += inner
    return found


PAGES = {
    "settings": settings_page,
    "columns": columns_page,
    "commands": commands_page,
    "json": json_page,
}

OUTPUTS = re.compile(r"(?<=```text\n).*?(?=^```)", re.MULTILINE | re.DOTALL)
CUT = "…"


def with_outputs(text: str, shell: dict[str, str]) -> str:
    """README.md with what its commands print today of the demo that was made under HOME of that
    environment; a block that ends in … keeps as many lines as it had."""

    def anew(block: re.Match[str]) -> str:
        out = []
        for part in re.split(r"^(?=\$ )", block[0], flags=re.MULTILINE)[1:]:
            command, *old = part.splitlines()
            said = printed(shlex.split(command)[2:], shell)
            cut = bool(old) and old[-1] == CUT
            out += [command, *(said[: len(old) - 1] if cut else said), *([CUT] if cut else [])]
        return "\n".join([*out, ""])

    return OUTPUTS.sub(anew, text)


def printed(words: list[str], shell: dict[str, str]) -> list[str]:
    """The lines that a command prints."""
    done = subprocess.run(
        [sys.executable, "-m", "pricing", *words],
        cwd=shell["HOME"],
        env=shell,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.splitlines()


if __name__ == "__main__":
    readme = ROOT / "README.md"
    with tempfile.TemporaryDirectory() as folder:
        person = {**os.environ, "HOME": folder, "PYTHONPATH": str(ROOT)}
        printed(["demo"], person)
        text = with_outputs(readme.read_text(encoding="utf-8"), person)
    readme.write_text(text, encoding="utf-8")
    for name, make in PAGES.items():
        (DOCS / f"{name}.md").write_text(make(), encoding="utf-8")
