"""Bytes as given -> text, and what was decided on the way. Refuses what is no text, each kind with
the way out.

Order of evidence: byte-order mark; NULs in every second place (UTF-16); strict UTF-8; UTF-8 with a
few stray bytes; else the alphabet in which the most becomes readable (`alphabets`). The person can
overrule with --encoding.
"""

import codecs
import csv
import io
import re
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from html.parser import HTMLParser

from pricing.basis.frozen import frozen
from pricing.basis.problems import refused
from pricing.ingest.headings import HELD, count_known

_CSV = "open it in your spreadsheet program and save as CSV (UTF-8), then add that file"
_MAGIC = [re.split(r" [=|] ", entry) for entry in HELD["no text"]]
_BOMS = (
    *((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF32_LE, "utf-32-le")),
    *((codecs.BOM_UTF32_BE, "utf-32-be"), (codecs.BOM_UTF16_LE, "utf-16-le")),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_NAMES = dict(entry.split(" = ") for entry in HELD["alphabets"])


@frozen
class Decoded:
    """text; the name of the encoding; lines (from 1) that held a byte which could not be read as
    the rest; an example word; sure: no rival reading; told: what else is to be said of how it
    was read."""

    text: str
    encoding: str
    stray_lines: frozenset[int] = frozenset()
    example: str = ""
    sure: bool = True
    told: str = ""


def decode(data: bytes, file: str, encoding: str | None = None) -> Decoded:
    """Text of a file's bytes. Raises Refused, with words for what it is, for no text."""
    if not data.strip(b"\x00 \t\r\n\xef\xbb\xbf\xff\xfe"):
        what = "this file is empty: there is nothing in it to read"
        raise refused(what, "export the sheet again", file=file)
    refuse_binary(data, file)
    found = _decoded(data, file, encoding)
    if _MARKUP.match(data[:4096]):
        if not (text := table_text(found.text)):
            what = "this is a web page (HTML) or XML without a table, whatever its name ends with"
            raise refused(what, _CSV, file=file)
        told = "this is a web page (HTML) or XML: its longest table was read"
        return Decoded(text, WEB_PAGE, example=found.example, sure=found.sure, told=told)
    return found


WEB_PAGE = "web page"  # in place of an encoding
_MARKUP = re.compile(
    rb"[\xef\xbb\xbf\xff\xfe\s\x00]*<\x00?(?:!doctype html|html|table|head|body|meta|div|\?xml"
    rb"|workbook|ss:)",
    re.IGNORECASE,
)


def _decoded(data: bytes, file: str, encoding: str | None) -> Decoded:
    if encoding:
        try:
            return Decoded(data.decode(encoding).lstrip("\ufeff"), encoding)
        except LookupError as error:
            what = f"there is no encoding called {encoding!r}"
            raise refused(what, "use utf-8, cp1252, mac_roman or cp850", file=file) from error
        except UnicodeDecodeError as error:
            what = f"this file is not {encoding}: byte {error.start} cannot be read"
            raise refused(what, "leave --encoding out, or try cp1252", file=file) from error
    if b"\x1b$" in data[:65536]:
        try:
            return Decoded(data.decode("iso2022_jp"), "iso2022_jp")
        except UnicodeDecodeError:
            pass
    for mark, name in _BOMS:
        if data.startswith(mark):
            return _with_strays(data[len(mark) :], name)
    if name := _utf16_without_mark(data):
        return _with_strays(data, name)
    if _binary_share(data) > 0.05:
        raise refused("this is not a CSV text file: it holds binary data", _CSV, file=file)
    return _utf8_or_single_byte(data)


def refuse_binary(data: bytes, file: str) -> None:
    """Refuse pictures, workbooks, archives, documents and web pages by their first bytes."""
    for magic, what, fix in _MAGIC:
        if data.startswith(bytes.fromhex(magic)):
            raise refused(f"this is {what}", fix.format(csv=_CSV), file=file)
    if data.startswith((b"BM", b"BZh", b"MZ")) and _binary_share(data[:4096]) > 0.05:
        what = "this is binary data (picture, archive or program), not a CSV text file"
        raise refused(what, "name the sheet itself", file=file)
    head = data[:4096].lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n\x00").replace(b"\x00", b"").lower()
    if head[:1] in (b"{", b"[") and re.match(rb'[\[{]\s*(\{|\[|"[^"]*"\s*:|\]|\})', head):
        what = "this is JSON, not a CSV text file"
        fix = "export the table as CSV, with one header line and one line a unit"
        raise refused(what, fix, file=file)


def _binary_share(data: bytes) -> float:
    sample = data[:65536]
    control = sum(
        sample.count(bytes([code])) for code in (*range(9), *range(14, 27), *range(28, 32), 127)
    )
    return control / max(1, len(sample))


def _utf16_without_mark(data: bytes) -> str:
    sample = data[:4096]
    half = len(sample) // 2
    if half < 4:
        return ""
    even, odd = sample[0 : 2 * half : 2].count(0), sample[1 : 2 * half : 2].count(0)
    if odd > 0.4 * half and even < 0.05 * half:
        return "utf-16-le"
    if even > 0.4 * half and odd < 0.05 * half:
        return "utf-16-be"
    return ""


def _with_strays(data: bytes, name: str) -> Decoded:
    """Decode; bytes that do not belong are read as Windows-1252 and their lines remembered."""
    strays: list[int] = []

    def stray(error: UnicodeError) -> tuple[str, int]:
        assert isinstance(error, UnicodeDecodeError)
        strays.append(error.start)
        if name != "utf-8":
            return "\ufffd", error.end
        bad = error.object[error.start : error.start + 1]
        return bad.decode("cp1252", "replace"), error.start + 1

    codecs.register_error("pricing-stray", stray)
    text = data.decode(name, "pricing-stray")
    line_end = "\n".encode(name) if b"\n" in data else "\r".encode(name)
    lines = frozenset(data[:start].count(line_end) + 1 for start in strays)
    return Decoded(text.lstrip("\ufeff"), name, lines, _example(text))


def decode_strays(data: bytes, name: str, first_line: int) -> Decoded:
    """A later piece of a file in the encoding of its beginning; lines counted from `first_line`."""
    if name != "utf-8":
        return Decoded(data.decode(name, "replace"), name)
    found = _with_strays(data, name)
    return Decoded(found.text, name, frozenset(line + first_line - 1 for line in found.stray_lines))


# Letters of several bytes that only UTF-8 writes so, and all that it can hold
_SURELY_UTF8 = (
    rb"[\xc3-\xdf][\x80-\xbf]|[\xe1-\xef][\x80-\xbf]{2}|\xc2[\xa0-\xbf]"
    rb"|\xf0[\x90-\xbf][\x80-\xbf]{2}"
)
_MAYBE_UTF8 = (
    rb"[\x00-\x7f]+|[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}|[\xf0-\xf4][\x80-\xbf]{3}"
)


def _utf8_or_single_byte(data: bytes) -> Decoded:
    try:
        text = data.decode("utf-8").lstrip("\ufeff")
        mended, told = saved_wrongly(text)
        return Decoded(mended, "utf-8", example=_example(mended), told=told)
    except UnicodeDecodeError:
        pass
    good, bad = len(re.findall(_SURELY_UTF8, data)), len(re.sub(_MAYBE_UTF8, b"", data))
    if good and bad <= 2 * good:
        return _with_strays(data, "utf-8")
    found = ranked(data)
    if not found:
        return Decoded(data.decode("cp1252", "replace"), "cp1252", sure=False)
    best, name = found[0]
    text = data.decode(name, "replace")
    example = _example(text)
    few = CLEARLY + 0.8 / max(len(set(re.sub(rb"[\x00-\x7f]", b"", data[:200_000]))), 1)
    near = [other for score, other in found[1:] if score > best - few]
    rivals = [other for other in near if _example(data.decode(other, "replace")) != example]
    return Decoded(text, name, example=example, sure=best > 0 and not rivals)


def _example(text: str) -> str:
    """The first word with a character outside ASCII, to show the person how the file was read."""
    match = re.search(r"[^\W_]*[^\x00-\x7f\s\ufeff]+[^\W_]*", text)
    return match.group()[:30] if match else ""


def name_of(encoding: str) -> str:
    """The name a person may know: Windows-1252 for cp1252."""
    return _NAMES.get(encoding, encoding.upper())


# ---- tables that are no CSV text but can be read as one
class TableReader(HTMLParser):
    """Collects the rows of each table; of a table inside a cell only the text."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self._cell: list[str] | None = None
        self._wide = 1
        self._depth = 0

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "table":
            self._depth += 1
            if self._depth == 1:
                self.tables.append([])
        elif tag in ("tr", "row") and self._depth == 1:
            self._end_cell()
            self.tables[-1].append([])
        elif tag in ("td", "th", "cell") and self._depth == 1 and self.tables[-1]:
            self._end_cell()
            row = self.tables[-1][-1]
            row += [""] * (_count(given.get("ss:index"), 1) - 1 - len(row))
            wide = _count(given.get("ss:mergeacross"), 0) + 1
            self._cell, self._wide = [], max(wide, _count(given.get("colspan"), 1))
        elif tag == "br" and self._cell is not None:
            self._cell.append(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "cell", "tr", "row") and self._depth == 1:
            self._end_cell()
        elif tag == "table":
            self._end_cell()
            self._depth = max(0, self._depth - 1)

    def handle_data(self, data: str) -> None:
        if self._cell is not None:
            self._cell.append(data)

    def _end_cell(self) -> None:
        if self._cell is not None:
            text = " ".join("".join(self._cell).split())
            self.tables[-1][-1] += [text, *[""] * (self._wide - 1)]
            self._cell = None


def _count(text: str | None, usual: int) -> int:
    """A number of columns; a hostile one is the usual one."""
    return int(text) if text and text.isdecimal() and int(text) < 1000 else usual


def table_text(text: str) -> str:
    """The longest table of a page as CSV text; "" where there is none.

    >>> table_text("<table><tr><th>type<th>price<tr><td>dryer<td>1,200</table>")
    'type,price\\r\\ndryer,"1,200"\\r\\n'
    """
    reader = TableReader()
    reader.feed(text)
    reader.close()
    rows = max(reader.tables, key=len, default=[])
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows if len(rows) > 1 else [])
    return out.getvalue()


def columns_apart(lines: list[str], own: Mapping[str, str]) -> list[str]:
    """Lines of columns that blanks keep apart, as lines with tabs; all others as they are."""
    told = [line for line in lines if line.strip()]
    head = next((at for at, line in enumerate(told[:20]) if _named(line, own) > 2), None)
    if head is None or len(told) - head < 4 or any("\t" in line for line in told[head:]):
        return lines
    cells = _cells_apart([line.rstrip() for line in told[head:]])
    if count_known(cells[0], own) < 3:
        return lines
    apart = iter("\t".join(row) + "\n" for row in cells)
    first = lines.index(told[head])
    return lines[:first] + [next(apart) if one.strip() else one for one in lines[first:]]


def _cells_apart(rows: list[str]) -> list[list[str]]:
    """The cells of lines, cut where all lines are blank; a remark has no heading of its own."""
    width = max(map(len, rows))
    bare = [True, *(not any(row[at : at + 1].strip() for row in rows) for at in range(width))]
    edges = [at for at in range(width) if bare[at] and not bare[at + 1]]
    edges = [a for a, b in zip(edges, [*edges[1:], width], strict=True) if rows[0][a:b].strip()]
    pairs = list(zip(edges, [*edges[1:], width], strict=True))
    return [[row[a:b].strip() for a, b in pairs] for row in rows]


def _named(line: str, own: Mapping[str, str]) -> int:
    """How many headings a line names whose cells stand two blanks apart; 0 where signs do so."""
    if any(sign in line for sign in ",;|"):
        return 0
    return count_known(re.split(r" {2,}", line.strip()), own)


# ---- which alphabet: the one under which the most becomes readable
CLEARLY = 0.12  # a rival this near to the best one makes the reading unsure
_SINGLE = (
    *("cp1252", "mac_roman", "cp850", "cp1250", "cp1251", "cp437", "iso8859_15", "koi8_r"),
    *("iso8859_2", "cp852", "mac_latin2", "iso8859_5", "cp866", "cp1253", "iso8859_7"),
    *("cp1254", "iso8859_9", "cp1257", "iso8859_4"),
)
_DOUBLE = ("shift_jis", "gb18030", "euc_jp", "big5", "euc_kr")
_LANGUAGES = [entry.split(" = ")[1] for entry in HELD["letters"]]
_SCRIPTS = ("GREEK", "CYRILLIC", "CJK", "HIRAGANA", "KATAKANA", "HANGUL")


def ranked(data: bytes) -> list[tuple[float, str]]:
    """(score, encoding) of every alphabet that decodes the bytes, the best first; of equal ones the
    more common first. Scores are a mean over the characters beyond ASCII, at most about 2."""
    found = []
    for place, name in enumerate((*_SINGLE, *_DOUBLE)):
        pieces = _pieces(data, name)
        if pieces is not None:
            score = _plausible(pieces, name) + _one_language(pieces) + _headings(data, name) / 5
            if name == "euc_jp" and any("\u3040" <= sign < "\u3100" for sign in "".join(pieces)):
                score += 1e-4  # kana stand at the same place in the Chinese set; Chinese has none
            found.append((score - place * 1e-6, name))
    return sorted(found, reverse=True)


def _headings(data: bytes, name: str) -> int:
    """How many headings beyond ASCII, ten at most, are known on one of the first lines."""
    lines = data[:4000].decode(name, "ignore").splitlines()[:8]
    beyond = ([one for one in re.split(r"[,;\t|]", line) if not one.isascii()] for line in lines)
    return min(10, max(map(count_known, beyond), default=0))


def _pieces(data: bytes, name: str) -> list[str] | None:
    """The characters beyond ASCII with one neighbor on each side, at most about 2,000 of them; None
    where the bytes are not of this alphabet."""
    if name in _DOUBLE:
        try:
            text = data.decode(name)
        except UnicodeDecodeError:
            return None
        return re.findall(r"[^\r\n]?[^\x00-\x7f]+[^\r\n]?", text)[:700]
    pieces, seen = [], 0
    for match in re.finditer(rb"[^\r\n]?[\x80-\xff]+[^\r\n]?", data):
        try:
            pieces.append(match.group().decode(name))
        except UnicodeDecodeError:
            pieces.append("\ufffd" * 3)
        seen += len(match.group())
        if seen > 4000:
            break
    return pieces


def _plausible(pieces: list[str], name: str) -> float:
    """How much sense the characters make where they stand, in the mean."""
    total, seen = 0.0, 0
    for piece in pieces:
        for place, sign in enumerate(piece):
            if sign < "\x80":
                continue
            seen += 1
            before = piece[place - 1] if place else " "
            after = piece[place + 1] if place + 1 < len(piece) else " "
            total += _sense(sign, before, after)
    return total / max(seen, 1)


def _one_language(pieces: list[str]) -> float:
    """The share of the letters beyond ASCII that one language has; a language that would leave none
    out but uses few of its own is no worse. 0 to 1."""
    letters = Counter(
        sign.lower()[0] for piece in pieces for sign in piece if sign > "\x7f" and sign.isalpha()
    )
    n = sum(letters.values())
    if not n:
        return 0.5
    best = max(sum(letters[sign] for sign in set(language)) for language in _LANGUAGES)
    scripts = Counter(
        script
        for sign, count in letters.items()
        for script in _SCRIPTS
        if script in unicodedata.name(sign, "")
        for _ in range(count)
    )
    whole = max(scripts.values(), default=0)
    kana = scripts["HIRAGANA"] + scripts["KATAKANA"]
    return max(best, whole, (scripts["CJK"] + kana) if kana else 0) / n


_WESTERN = frozenset("àáâäãåæçèéêëìíîïñòóôöõøœùúûüýÿßÀÁÂÄÃÅÆÇÈÉÊËÌÍÎÏÑÒÓÔÖÕØŒÙÚÛÜÝ")


def _sense(sign: str, before: str, after: str) -> float:
    if sign in "¿¡":
        return 1.0 if after.isalpha() and not before.isalpha() else -1.0
    if sign.isalpha() and sign not in "ªº":
        if before.isdigit() or after.isdigit():
            return -1.5  # "œ90" where an amount stands
        alone = not before.isalpha() and not after.isalpha()
        if alone and sign not in "àèéòóáù" and sign < "\u0370":
            return -0.8  # hardly any word is one such letter
        script = unicodedata.name(sign, "").partition(" ")[0]
        if script in ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "FULLWIDTH", "HALFWIDTH"):
            return 0.8 if script in ("CJK", "HIRAGANA", "KATAKANA", "HANGUL") else -0.5
        if script == "GREEK":
            shouting = 0.3 if sign.isupper() and before.isupper() else 0.0
            return 0.9 - shouting if _beside(script, before, after) else -2.0
        if "CYRILLIC" in unicodedata.name(sign, ""):
            beside = [unicodedata.name(x, "") for x in (before, after) if x.isalpha()]
            if not beside or any("CYRILLIC" not in name for name in beside):
                return -2.0
            shouts = 0.9 if before.islower() else 0.3 if before.isupper() else 0.0
            return 0.9 - shouts if sign.isupper() else 0.9
        if sign.isupper() and before.islower():
            return -2.0
        if sign.islower() and before.isupper() and after.isupper():
            return -1.0
        # Western words seldom hold two in a row
        crowd = sum(other.isalpha() and other > "\x7f" for other in (before, after))
        return (1.0 if sign in _WESTERN else 0.8) * (1.0, 0.7, 0.2)[crowd]
    if sign in "€£¥¢":
        return 1.0 if (before + after).strip("0123456789 .,;|:\t\"'()-") == "" else -0.5
    if sign in "’‘“”–—…":
        return 0.4
    if sign in "°½¼¾²³\xa0®™©×":
        return 0.3
    return -2.0 if before.isalpha() or after.isalpha() else -0.5


def _beside(script: str, before: str, after: str) -> bool:
    """Whether a letter's neighbors are of its own script."""
    letters = [other for other in (before, after) if other.isalpha()]
    return bool(letters) and all(script in unicodedata.name(other, "") for other in letters)


_RUN = re.compile(r"[^\x00-\x7f]+")
_LETTER = re.compile("[\u00c2-\u00df\u00e2\u0412-\u0414\u0420\u0421].")


def saved_wrongly(text: str) -> tuple[str, str]:
    """A text that was once read in a Windows alphabet and saved so ("Ã¤" for "ä"), put right, and
    what is to be told; the text itself where it was not."""
    if not _LETTER.search(text):
        return text, ""
    runs = {*_RUN.findall(text)}
    for alphabet in ("cp1252", "cp1251"):
        right = {run: found for run in runs if (found := _read_again(run, alphabet))}
        if right and len(right) >= 0.9 * len(runs):
            first = next(run for run in _RUN.findall(text) if run in right)
            told = (
                f"text saved in a wrong alphabet once was put right: {first!r} is {right[first]!r}"
            )
            parts = re.split(f"({_RUN.pattern})", text)
            return "".join(right.get(part, part) for part in parts), told
    return text, ""


def _read_again(run: str, alphabet: str) -> str:
    try:
        return b"".join(_byte(sign, alphabet) for sign in run).decode("utf-8")
    except UnicodeError:
        return ""


def _byte(sign: str, alphabet: str) -> bytes:
    """A byte that the alphabet leaves out stands there as itself."""
    return sign.encode("latin-1") if "\x80" <= sign <= "\x9f" else sign.encode(alphabet)
