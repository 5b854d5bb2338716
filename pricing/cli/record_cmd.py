"""Commands of the record: what comes in, what was learned, what goes out, what is taken back."""

import shlex
import sys
from collections.abc import Callable, Mapping
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

import click

from pricing.basis.files import write_bytes
from pricing.basis.home import Home
from pricing.basis.own_rows import NO_RATE
from pricing.basis.problems import Refused, refused
from pricing.cli import common
from pricing.cli.common import (
    FILE,
    PLACE,
    Now,
    flag,
    home_options,
    learn_again,
    no_fit_option,
    option,
    say,
    told,
)
from pricing.ingest import Answers
from pricing.pages.fit_text import fit_json, fit_lines
from pricing.pages.reading_report import files_table, reading_report
from pricing.pages.text import exact
from pricing.pipeline import adding, column_table, fit_source, fitting, keeping
from pricing.pipeline.adding import Added
from pricing.record.store import is_record, record_file
from pricing.record.taking_back import Merged
from pricing.wording import plain


def _pairs(texts: tuple[str, ...]) -> dict[str, str]:
    pairs = {}
    for text in texts:
        theirs, sign, ours = text.rpartition("=")
        if not sign or not theirs.strip():
            what = f'{text!r}: write it as "Their word=our column"'
            raise click.BadParameter(what, param_hint="--header")
        pairs[theirs.strip()] = ours.strip()
    return pairs


_rows = lambda n: common.at_work(f"{n:,} rows read …")  # noqa: E731
THEIRS = '"THEIRS=OURS"'
# what only the person can say of a sheet
answer_options = common.together(
    "said",
    option("--date-order", "How its dates are written.", click.Choice(["mdy", "dmy", "ymd"])),
    option("--decimal", "The decimal mark in this file.", click.Choice([".", ","])),
    option(("--header", "headers"), "What one of your headings means.", str, THEIRS, multiple=True),
    option("--columns", "The columns, for a file without a header line.", str, '"unit,type,…"'),
    option("--encoding", "The alphabet of the file: utf-8, cp1252, mac_roman, cp850."),
    option("--year", "The first row's year, where dates carry none.", click.IntRange(1970, 2200)),
    option("--describe", "The column with a description instead of a type.", str, "HEADER"),
    option("--slash", "300/275 is asked 300, sold for 275.", click.Choice(["asked/sold"])),
    option(("--word", "words"), "What one of your words means.", str, THEIRS, multiple=True),
    option(
        "--ended", "Unsold units with a last day.", click.Choice(["scrapped", "parted", "kept"])
    ),
    flag(("--older", "take_older"), "Take rows that are older than what you have."),
)


def _answers(said: Mapping[str, Any]) -> Answers:
    told = {name: value for name, value in said.items() if value is not None}
    told["columns"] = tuple(part.strip() for part in told.get("columns", "").split(",") if part)
    pairs = {name: _pairs(told[name]) for name in ("headers", "words")}
    return Answers(**told | pairs)


@click.command(short_help="Read a sheet (CSV), check it, record it, and learn from it.")
@click.argument("files", nargs=-1, required=True, metavar="FILE…")
@flag("--dry-run", "Show what would happen; write nothing.")
@flag("--no-fit", "Record only; learn later with pricing fit.")
@answer_options
@home_options
def add(
    files: tuple[str, ...], dry_run: bool, no_fit: bool, said: Mapping[str, Any], now: Now
) -> None:
    """Read sheets, check every row, record what is new or changed, and learn from it.

    Same file twice changes nothing; a later row for the same unit replaces the earlier. Rows that
    cannot be read are set aside with their line and the reason; the others go in.

    \b
    pricing add units.csv
    pricing add units.csv --dry-run
    pricing add units.csv --date-order dmy --header "Got for it=price"
    pricing add -                              what another program writes
    """
    settings, answers = now.settings, _answers(said)
    served = wrote = False
    for name in map(common.file_named, files):
        if merged := _merged(now, Path(name), dry_run):
            served, wrote = True, wrote or bool(merged.acts)
            _tell_merged(merged, name)
            continue
        read = partial(adding.add, now.home, Path(name), settings, now.as_of, dry_run=dry_run)
        added = read(answers, tell=_rows)
        common.at_work("")
        added = _ask(added, answers, read)
        served |= added.served
        wrote |= added.entry is not None
        say(lambda: column_table.as_dict(added), lambda: _report(added, name, settings.currency))  # noqa: B023
        if served and (files[-1] in (name, "-")):
            common.hint(f"Home: {now.home.path}")
    if wrote and not dry_run and not no_fit:
        _learn(now)
    if not served:
        sys.exit(1)


def _learn(now: Now) -> None:
    from pricing.cli.rule_cmd import ask_slips

    if now.settings.dollar is None:
        click.echo("The rows are in.\n" + NO_RATE.format(now.settings.currency), err=True)
        return
    fitted = fitting.fit(*now.all, tell=learning)
    if told("json"):
        return
    units, sold = plain.count(fitted.n_units, "unit"), f"{fitted.n_sold:,} sold"
    common.hint(f"Learned from {units}, {sold} ({fitted.path.name}).")
    ask_slips(now, fitted)
    common.hint('Next: pricing ask "front-load washer, 7 years, good"')


def _merged(now: Now, path: Path, dry_run: bool) -> Merged | None:
    """What another copy of the record brought; None where this is a sheet."""
    if not (is_record(path) or (path.is_dir() and record_file(Home(path)).exists())):
        return None
    if dry_run:
        raise click.UsageError("--dry-run is for sheets: two copies of a record are put together")
    return keeping.merge(now.home, path, now.as_of)


def _tell_merged(merged: Merged, name: str) -> None:
    answer = {"file": name, "changes": len(merged.acts)}
    answer["units_changed_in_both"] = list(merged.units)
    answer["differ"] = [{"unit": unit, "column": column} for unit, column in merged.differ]
    units, changes = plain.count(len(merged.units), "unit"), plain.count(len(merged.acts), "change")
    told = f"{changes} taken in." if merged.acts else "yours has all that it has."
    if merged.acts and merged.units:
        told += f" {units} had been changed in both; both changes stand."
    differ = [
        f"Unit {unit}: {column} differed; the later one was taken (pricing history {unit})."
        for unit, column in merged.differ[:20]
    ]
    say(answer, lambda: [f"{name}: another copy of your record; {told}", *differ])


def _ask(added: Added, answers: Answers, read: Callable[[Answers], Added]) -> Added:
    """At a terminal, ask what only the person can say and read once more."""
    at_screen = sys.stdin.isatty() and sys.stdout.isatty() and not told("json")
    if not added.reading.questions or not at_screen:
        return added
    for question in added.reading.questions:
        click.echo(question.text)
        for place, choice in enumerate(question.options, start=1):
            click.echo(f"  {place}  {choice}")
        chosen = click.prompt("Number, or Enter for don't know", default="", show_default=False)
        if chosen.isdigit() and 1 <= int(chosen) <= len(question.options):
            answers = adding.answered(answers, question.options[int(chosen) - 1])
    return read(answers)


def _report(added: Added, name: str, currency: str) -> str:
    taken, command = column_table.taken_for(added), f"pricing add {shlex.quote(name)}"
    return reading_report(added, taken, command, currency)


@click.command(short_help="A blank sheet with the columns and two example rows.")
@option("--out", "Where to write it; else it is printed.", FILE)
@home_options
def blank(out: Path | None, now: Now) -> None:
    """A blank CSV with the columns and two example rows, to fill in and add.

    \b
    pricing blank --out units.csv
    """
    data = keeping.blank_sheet(now.as_of)
    if str(out or "-") == "-":
        _printed(data)
        return
    assert out is not None
    if out.exists():
        fix = "choose another name with --out"
        raise refused("there is such a file already", fix, file=str(out))
    write_bytes(out, data)
    then = f"Fill it in, take the examples out, then: pricing add {out}"
    say({"file": str(out)}, f"{out}: a blank sheet with two example rows. {then}")


def _printed(data: bytes) -> None:
    """A sheet on the standard output, or inside the answer to a program."""
    text = data.decode("utf-8-sig")
    say({"csv": text}, text.removesuffix("\n"))


@click.command(short_help="The files you added, and every other change.")
@home_options
def files(now: Now) -> None:
    """The files you added and the changes you made, oldest first, and which you took back."""
    ledger, copies = keeping.acts(now.home)
    undone = ledger.undone
    acts = [entry for entry in ledger.entries if entry.kind != "undo"]
    rows = [
        {"number": e.number, "day": e.day, "file": e.words, "rows": e.rows}
        | {"sales": float(e.total), **e.counts, "taken_back": e.number in undone}
        for e in acts
    ]
    currency = now.settings.currency
    words = [f"{e.words}{'  (taken back)' if e.number in undone else ''}" for e in acts]
    cells = [
        (str(e.number), e.day, f"{e.rows:,}", exact(Decimal(e.total), currency), said)
        for e, said in zip(acts, words, strict=True)
    ]
    none = "No file added yet. Next: pricing add FILE.csv, or pricing demo"
    table = files_table(cells) if acts else none
    say({"files": rows}, lambda: [table, *(map(other_copy, copies) if acts else ())])


def other_copy(path: Path) -> str:
    """That another copy of the record lies beside it, and the way to put the two together."""
    command = f"pricing add {shlex.quote(str(path))}"
    return f"{path}: another copy of your record. Put the two together: {command}"


@click.command(short_help="Take a file or a change back.")
@click.argument("change", required=False)
@flag("--back", "Take the undo back: the change counts again.")
@no_fit_option
@home_options
def undo(change: str | None, back: bool, no_fit: bool, now: Now) -> None:
    """Take the last file or change back, or any other one by its name or number (pricing files
    lists them). What was changed again since stays as it is, and is told.

    \b
    pricing undo
    pricing undo units.csv
    pricing undo 14
    pricing undo --back
    """
    found = keeping.undo(now.home, change, now.as_of, back)
    learn_again(now, no_fit)
    answer: dict[str, Any] = {"number": found.entry.number, "taken_back": found.entry.of}
    stayed = [{"unit": unit, "columns": list(columns)} for unit, columns in found.stayed]
    rows = plain.count(found.target.rows, "row")
    done = "counts again." if back else f"was taken back: {rows} out. Redo: pricing undo --back"
    again = "was changed again since, and stays."
    lines = [f"Unit {unit}: {', '.join(columns)} {again}" for unit, columns in found.stayed]
    answer |= {"file": found.target.words, "stayed": stayed}
    say(answer, lambda: [f"{found.target.words} {done}", *lines])


@click.command(short_help="Take a unit out of the record.")
@click.argument("unit")
@no_fit_option
@home_options
def drop(unit: str, no_fit: bool, now: Now) -> None:
    """Take a unit out of the record: one written down twice, or never yours. Its history stays, and
    pricing undo brings it back. The sheet it came from no longer brings it back.

    \b
    pricing drop 214
    """
    entry = keeping.drop(now.home, unit, now.as_of)
    learn_again(now, no_fit)
    text = f"Unit {unit} is out of your record. Bring it back: pricing undo"
    say({"number": entry.number, "unit": unit}, text)


@click.command(short_help="One unit's rows over time.")
@click.argument("unit")
@home_options
def history(unit: str, now: Now) -> None:
    """One unit's rows over time: what changed, and from which file and line."""
    steps = keeping.history_steps(now.home, unit)
    lines = []
    for step in steps:
        lines.append(f"{step['file']}, line {step['line']}:")
        lines += [f"  {name}: {value}" for name, value in step["changes"].items()]
    say({"unit": unit, "rows": steps}, lambda: lines)


@click.command(short_help="The current record as CSV or Parquet.")
@option("--out", "Where to write it (.csv or .parquet); else CSV is printed.", FILE)
@option("--by-month", "A folder by month of sale, for pricing fit --from.", PLACE, "FOLDER")
@home_options
def export(out: Path | None, by_month: Path | None, now: Now) -> None:
    """The current record, one row a unit, as CSV that spreadsheets open safely, or Parquet by its
    ending.

    \b
    pricing export --out units.csv
    pricing export --out units.parquet
    pricing export --by-month units
    """
    if by_month is not None:
        if out is not None:
            raise click.UsageError("--out and --by-month both write the record: name one")
        rows = keeping.export_by_month(now.home, by_month)
        text = f"{by_month}: {rows:,} units by month of sale. Copy the whole folder;"
        say({"folder": str(by_month), "rows": rows}, f"{text} pricing fit --from reads it.")
        return
    data = keeping.export(now.home, None if str(out) == "-" else out)
    if data is not None:
        _printed(data)
    else:
        say({"file": str(out)}, f"{out}: your current record, one row a unit.")


@click.command(short_help="Is every stored file whole?")
@home_options
def verify(now: Now) -> None:
    """Check every stored file of your record and your fitted numbers; names each that is damaged,
    missing or not part of your record."""
    damaged, foreign, n_files = keeping.verify(now.home)
    lines = [other_copy(path) for path in keeping.acts(now.home)[1]] if not told("json") else []
    lines += [f"{path}: not part of your record; ignored." for path in foreign]
    none = f"{n_files:,} files checked, no damage found." if n_files else "Nothing stored here yet."
    answer = {"files": n_files, "damaged": [problem.as_dict() for problem in damaged]}
    if damaged and not told("json"):
        click.echo("\n".join(lines), nl=bool(lines))
        raise Refused(*damaged)
    say(answer | {"foreign": [str(path) for path in foreign]}, lambda: [*lines, none])
    sys.exit(bool(damaged))


@click.command(short_help="Your whole home as one file.")
@option("--out", "The backup file [default: pricing-backup-DATE.zip in this folder]", FILE)
@home_options
def backup(out: Path | None, now: Now) -> None:
    """Your whole home as one file, checked. Keep it on another disk. Of a damaged home it takes
    what is whole, and names what is missing.

    \b
    pricing backup --out /path/to/other/disk/pricing.zip
    """
    out = out or Path(f"pricing-backup-{now.as_of}.zip")
    n_files, damaged = keeping.backup(now.home, out)
    text = f"{out}: {n_files:,} files, checked. Keep a copy on another disk."
    missing = [f"Not in it: {problem}" for problem in damaged]
    answer = {"file": str(out), "files": n_files, "missing": [one.file for one in damaged]}
    say(answer, "\n".join((text, *missing)))
    sys.exit(bool(damaged))


@click.command(short_help="Restore a backup.")
@click.argument("file", type=PLACE)
@home_options
def restore(file: Path, now: Now) -> None:
    """Restore a backup into a new or empty home, every file checked first.

    \b
    pricing restore pricing-backup.zip --home new-folder
    """
    n_files = keeping.restore(now.home, file)
    text = f"{now.home.path}: restored, {n_files:,} files."
    say({"home": str(now.home.path), "files": n_files}, text)


@click.command()
@option("--cluster", "Dask's workers do it: local, or tcp://10.0.0.5:8786.", str, "WHERE")
@option(("--from", "data_set"), "A data set that export --by-month wrote.", str, "FOLDER")
@flag("--anew", "Go through all of a long record, not only what changed.")
@home_options
def fit(now: Now, cluster: str | None, data_set: str | None, anew: bool) -> None:
    """Learn from the whole record, save the numbers, and show what was learned. Works with no sale
    at all.

    A record of millions is read piece by piece and needs no more memory than a short one. Of one
    that grew a little since, only what changed is read; how much prices differ and move is then as
    it was learned (--anew learns that too). Several machines can share the work: start Dask's
    scheduler and workers there, with this very version, and name the scheduler.

    \b
    Examples:
      pricing fit
      pricing fit --as-of 2026-04-30 --json
      pricing fit --cluster local
      pricing fit --from s3://club/units --cluster tcp://10.0.0.5:8786
    """
    where = (cluster or "", data_set or "")
    fitted = fitting.fit(*now.all, *where, tell=learning, anew=anew)
    small = cluster and not data_set and fitted.n_units <= fit_source.SHORT
    more = ["", "Your record is small; no cluster needed."] if small else []
    saved = ["", f"Saved: {fitted.path}"]
    say(lambda: fit_json(fitted), lambda: [*fit_lines(fitted, now.settings), *more, *saved])


def learning(share: float, what: str) -> None:
    """A progress line while a long record is learned from; it is wiped when all is done."""
    common.at_work(f"{what} {share * 100:.0f} % …" if share < 1 else "")
