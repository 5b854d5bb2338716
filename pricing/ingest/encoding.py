"""Bytes as given -> text, and what was decided on the way. Refuses what is no text, each kind with
the way out.

Order of evidence: byte-order mark; NULs in every second place (UTF-16); strict UTF-8; UTF-8 with a
few stray bytes; else the alphabet in which the most becomes readable (`alphabets`). The person can
overrule with --encoding.
"""

import codecs
import re

from pricing.basis.frozen import frozen
from pricing.basis.problems import refused
from pricing.ingest.alphabets import CLEARLY, ranked, saved_wrongly
from pricing.ingest.markup import table_text

_CSV = "open it in your spreadsheet program and save as CSV (UTF-8), then add that file"
_MAGIC: tuple[tuple[bytes, str, str], ...] = (
    (b"\x89PNG", "a picture (PNG), not a CSV text file", "name the sheet, not the picture of it"),
    (b"\xff\xd8\xff", "a picture (JPEG), not a CSV text file",
        "name the sheet, not the picture of it"),
    (b"GIF8", "a picture (GIF), not a CSV text file", "name the sheet, not the picture of it"),
    (b"BM", "", ""),
    (b"RIFF", "a media file, not a CSV text file", "name the sheet itself"),
    (b"%PDF", "a PDF document, not a CSV text file",
        "a PDF cannot be read back: open the sheet it was printed from and save as CSV"),
    (b"PK\x03\x04", "a spreadsheet workbook or zip archive, not a CSV text file", _CSV),
    (b"PK\x05\x06", "an empty zip archive, not a CSV text file", _CSV),
    (b"\xd0\xcf\x11\xe0", "an old Excel workbook (.xls), not a CSV text file", _CSV),
    (b"\x1f\x8b", "a gzip archive, not a CSV text file",
        "unpack it first, then add the file inside"),
    (b"BZh", "", ""),
    (b"7z\xbc\xaf", "an archive, not a CSV text file",
        "unpack it first, then add the file inside"),
    (b"Rar!", "an archive, not a CSV text file", "unpack it first, then add the file inside"),
    (b"\xfd7zXZ", "an archive, not a CSV text file", "unpack it first, then add the file inside"),
    (b"SQLite format 3", "a database, not a CSV text file", "export the table from it as CSV"),
    (b"PAR1", "a Parquet table, not a CSV text file", "export it as CSV"),
    (b"\x7fELF", "a program, not a CSV text file", "name the sheet itself"),
    (b"MZ", "", ""),
    (b"{\\rtf", "a word-processor document (RTF), not a CSV text file",
        "copy the table into a spreadsheet and save as CSV"),
)  # fmt: skip
_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_NAMES = {
    "cp1252": "Windows-1252", "mac_roman": "Mac Roman", "cp850": "DOS 850", "cp437": "DOS 437",
    "cp1250": "Windows-1250", "cp1251": "Windows-1251", "iso8859_15": "Latin-9",
    "koi8_r": "KOI8-R", "iso8859_2": "Latin-2", "cp852": "DOS 852",
    "mac_latin2": "Mac Central European", "cp1253": "Windows-1253", "cp1254": "Windows-1254",
    "cp1257": "Windows-1257", "iso8859_5": "ISO 8859-5", "gb18030": "GB 18030",
    "shift_jis": "Shift JIS",
}  # fmt: skip


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
        fix = "export the sheet again"
        raise refused(what, fix, file=file)
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
            fix = "use utf-8, cp1252, mac_roman or cp850"
            raise refused(what, fix, file=file) from error
        except UnicodeDecodeError as error:
            what = f"this file is not {encoding}: byte {error.start} cannot be read"
            fix = "leave --encoding out, or try cp1252"
            raise refused(what, fix, file=file) from error
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
        if data.startswith(magic) and what:
            raise refused(f"this is {what}", fix, file=file)
    if data.startswith((b"BM", b"BZh", b"MZ")) and _binary_share(data[:4096]) > 0.05:
        what = "this is binary data (picture, archive or program), not a CSV text file"
        fix = "name the sheet itself"
        raise refused(what, fix, file=file)
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
