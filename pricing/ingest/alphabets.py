"""Which alphabet bytes were written in: the one under which most becomes readable.

Three kinds of evidence for each alphabet that decodes the bytes: whether the characters make sense
where they stand, whether the letters beyond ASCII are those of one language, and whether signs of
money stand beside amounts. Letters by language from the Unicode CLDR's exemplar characters (from
memory).
"""

import re
import unicodedata
from collections import Counter

from pricing.ingest.headings import count_known

CLEARLY = 0.12  # a rival this near to the best one makes the reading unsure
_SINGLE = (
    *("cp1252", "mac_roman", "cp850", "cp1250", "cp1251", "cp437", "iso8859_15", "koi8_r"),
    *("iso8859_2", "cp852", "mac_latin2", "iso8859_5", "cp866", "cp1253", "iso8859_7"),
    *("cp1254", "iso8859_9", "cp1257", "iso8859_4"),
)
_DOUBLE = ("shift_jis", "gb18030", "euc_jp", "big5", "euc_kr")
_LANGUAGES = (
    "äöüß",  # German
    "éèêëàâçîïôûùœæÿü",  # French
    "áéíóúñü¿¡",  # Spanish
    "àèéìòù",  # Italian
    "áâãàçéêíóôõú",  # Portuguese
    "éëïöüèá",  # Dutch
    "åäöé",  # Swedish, Finnish
    "æøåé",  # Danish, Norwegian
    "áðéíóúýþæö",  # Icelandic
    "áčďéěíňóřšťúůýž",  # Czech
    "áäčďéíĺľňóôŕšťúýž",  # Slovak
    "ąćęłńóśźż",  # Polish
    "áéíóöőúüű",  # Hungarian
    "ăâîșțşţ",  # Romanian
    "čćđšž",  # Croatian, Slovene
    "çğıöşüâî",  # Turkish
    "ąčęėįšųūž",  # Lithuanian
    "āčēģīķļņšūž",  # Latvian
    "äöüõšž",  # Estonian
)
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
