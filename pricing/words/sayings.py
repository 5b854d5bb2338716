"""Words brought to the form in which sayings are compared, and the longest saying from a place.

`stem` takes the usual endings off; `plain_words` maps typos, words that count as one and every
negation ("won't", "quit", "no longer": not), and drops the words that say nothing beside a fault.
"""

from typing import Any

from pricing.words.tokens import SAID, Table, Token, Tokens

KEEP_WHOLE = (
    "worked stopped used need needs was does ran gas dryer washer fuse noise sense bus plus this "
    "yes less glass bearing bearings ceiling building moving tubing wiring king string spring "
    "thing nothing something anything everything during going evening springs thes process "
    "freezer burned bed red feed speed weed seed wed shed led inches rinse ring bring series os "
    "us is as ac its has stainless cleaned smoked smoking needed untested tested dented plugged "
    "hosed"
).split(" ")


MOST_WORDS = 7  # in a saying


def stem(word: str) -> str:
    """
    >>> stem("leaking"), stem("leaks"), stem("spinning"), stem("washer"), stem("freezes")
    ('leak', 'leak', 'spin', 'washer', 'freez')
    """
    if len(word) < 4 or word in KEEP_WHOLE:
        return word
    out = word
    if out.endswith("ing") and len(out) > 5:
        out = _single(out[:-3])
    elif out.endswith("ed") and len(out) > 4:
        out = _single(out[:-2])
    elif out.endswith("ies") and len(out) > 4:
        out = out[:-3] + "y"
    elif out.endswith("es") and len(out) > 4:
        out = out[:-2]
    elif out.endswith("s") and not out.endswith("ss") and not out.endswith("us"):
        out = out[:-1]
    if out.endswith("e") and len(out) > 3:
        out = out[:-1]
    return out


def _single(word: str) -> str:
    """A doubled last letter single again: spinn, stopp."""
    n = len(word)
    if n > 3 and word[n - 1] == word[n - 2] and word[n - 1] not in "lsz":
        return word[: n - 1]
    return word


def plain_words(words: list[str], tables: Table) -> list[str]:
    """Stems of the words as compared; "" where a word says nothing. As long as `words`."""
    same = tables["same"]
    filler = tables["filler"]
    out: list[str] = []
    n = len(words)
    i = 0
    while i < n:
        size = 4 if n - i > 4 else n - i
        hit = ""
        while size > 0:
            key = " ".join(words[i : i + size]) if size > 1 else words[i]
            if key in same:
                hit = same[key]
                break
            size -= 1
        if size == 0:
            size = 1
            hit = words[i]
        out.append("" if hit in filler else " ".join([stem(w) for w in hit.split(" ")]))
        for _ in range(size - 1):
            out.append("")
        i += size
    for k in range(len(out) - 1):
        if out[k] == "no" and out[k + 1] in tables.get("doings", []):
            out[k] = "not"  # "door no close"
    return out


def ready(tables: Table) -> Table:
    """The tables by the compared form of each saying: form -> [[number of the name, only for]]."""
    if "sayings" in tables:
        return tables
    for name in tables["listed"]:
        SAID[name] = tables["listed"][name]
    sayings: dict[str, Any] = {}
    idle: dict[str, bool] = {}
    for place in range(len(tables["names"])):
        said = tables["names"][place][3]
        for only in said:
            for key in said[only].split("|"):
                if key in sayings:
                    sayings[key].append([place, only])
                else:
                    sayings[key] = [[place, only]]
    for word in tables["idle"].split(" "):
        idle[word] = True
    tables["sayings"] = sayings
    tables["idle_words"] = idle
    return tables


def saying_at(forms: list[str], start: int, end: int, tables: Table) -> list[Any]:
    """The sayings that begin at a form, longest first: [[end, entries], ...]. forms[start] is one
    that says something. An entry is [number of the name, only_for]."""
    found: list[Any] = []
    key = ""
    bare = ""  # the same without "and"
    n = 0
    i = start
    while i < end and n < MOST_WORDS:
        if forms[i] != "":
            key = forms[i] if key == "" else key + " " + forms[i]
            n += 1
            joins = forms[i] in ("and", "&") and i > start
            if not joins:
                bare = forms[i] if bare == "" else bare + " " + forms[i]
            entries = tables["sayings"].get(key)
            if entries is None and bare != key and not joins:
                entries = tables["sayings"].get(bare)
                if entries is not None:
                    entries = [
                        e for e in entries if tables["names"][e[0]][0] in ("fault", "finding")
                    ]
            if entries is not None and len(entries) > 0:
                found = [[i + 1, entries], *found]
        i += 1
    return found


def near_word(word: str, tables: Table, typed: int = 0) -> str:
    """The known word (its stem) that is one slip of a letter away (two in a long word): one too
    many, too few, another, or two changed; "" for none or several."""
    size = len(word)
    if size < 4:
        return ""
    best = ""
    best_at = 3
    several = False
    for other in _known_by(tables).get(word[0], []):
        gap = len(other) - size
        if gap > 2 or gap < -2 or len(other) < 4:
            continue
        d = slips(word, other)
        if d < best_at:
            best = other
            best_at = d
            several = False
        elif d == best_at and bare(other) == bare(word) and bare(best) != bare(word):
            best = other  # "burnr" is a burner before it is a burn
        elif d == best_at and stem(other) != stem(best) and bare(best) != bare(word):
            several = True
    allowed = 1 if size < 8 else 2
    if best_at > allowed or several or _another_word(word, best):
        return ""
    if size == 4 and typed < 6 and sorted(word) != sorted(best):
        return ""
    return best


def _another_word(word: str, best: str) -> bool:
    """Whether one consonant stands for another letter: "fold" is no slip of "food"."""
    if len(word) != len(best) or sorted(word) == sorted(best):
        return False
    apart = [i for i in range(len(word)) if word[i] != best[i]]
    vowels = [i for i in apart if word[i] in "aeiouy" and best[i] in "aeiouy"]
    return len(apart) == 1 and len(vowels) == 0


def bare(word: str) -> str:
    """A word without its vowels, as people shorten it.

    >>> bare("burner"), bare("burnr")
    ('brnr', 'brnr')
    """
    return "".join([c for c in word if c not in "aeiou"])


def _known_by(tables: Table) -> dict[str, list[str]]:
    """Known words by their first letter, gathered when first needed."""
    if "by_letter" not in tables:
        by: dict[str, list[str]] = {}
        seen: dict[str, bool] = {}
        for key in tables["sayings"]:
            for word in key.split(" "):
                if word in seen or len(word) < 4:
                    continue
                seen[word] = True
                if word[0] in by:
                    by[word[0]].append(word)
                else:
                    by[word[0]] = [word]
        tables["by_letter"] = by
    return tables["by_letter"]


def slips(a: str, b: str) -> int:
    """Slips of letters between two words, counted to 3.

    >>> slips("dyrer", "dryer"), slips("waher", "washer"), slips("cat", "horse")
    (1, 1, 3)
    """
    two_ago: list[int] = []
    last = list(range(len(b) + 1))
    for i in range(len(a)):
        row = [i + 1]
        least = i + 1
        for j in range(len(b)):
            cost = last[j] if a[i] == b[j] else last[j] + 1
            if last[j + 1] + 1 < cost:
                cost = last[j + 1] + 1
            if row[j] + 1 < cost:
                cost = row[j] + 1
            if i > 0 and j > 0 and a[i] == b[j - 1] and a[i - 1] == b[j]:
                if two_ago[j - 1] + 1 < cost:
                    cost = two_ago[j - 1] + 1
            row.append(cost)
            least = cost if cost < least else least
        if least > 2:
            return 3
        two_ago = last
        last = row
    return last[len(b)] if last[len(b)] < 3 else 3


def mend_typos(tokens: Tokens, tables: Table, own: Table) -> list[Any]:
    """Words one slip away from a known one are read as it; what was done comes back."""
    done: list[Any] = []
    mine = _words_of(own)
    for one in tokens:
        word = one["w"]
        if one["n"] is not None or word in mine:
            continue
        if word.endswith("'s") and not known(word, tables) and known(word[:-2], tables):
            one["w"] = word[:-2]  # "the dryer's electric"
        elif word in tables["typos"]:
            one["w"] = tables["typos"][word]
            if len(word) > 3:
                done.append({"said": one["t"], "read": one["w"]})
        elif _may_be_slip(one, tables):
            near = near_word(stem(word), tables, len(word))
            if near == "":
                near = near_word(word, tables)
            if word.endswith("in") and known(word + "g", tables):  # "leakin", "askin"
                one["w"] = word + "g"
            elif near != "":
                one["w"] = near
                done.append({"said": one["t"], "read": near})
    return done


def _may_be_slip(one: Token, tables: Table) -> bool:
    """Another word of everyday English is none, however near it is to one of ours: "threat" is no
    "treat". They are the 20,000 commonest of the library wordfreq that would be read as ours."""
    word = one["w"]
    if len(word) < 4 or known(word, tables) or word in tables["makers"] or not word.isalpha():
        return False
    if word in SAID["other words"]:  # a long list, so the last to be looked through
        return False
    return not one["cap"] or bool(one["t"].isupper())


def _words_of(own: Table) -> dict[str, bool]:
    """The words of the person's own names: none of them is a slip."""
    mine: dict[str, bool] = {}
    for kind in ("makers", "types", "faults", "repairs", "features"):
        for said in list(own.get(kind, {})):
            for word in said.split(" "):
                mine[word] = True
    return mine


def known(word: str, tables: Table) -> bool:
    """Whether the word is in any table."""
    if word in tables["idle_words"] or word in tables["same"] or word in tables["filler"]:
        return True
    if "known_words" not in tables:
        words = dict.fromkeys(tables["known"].split(" "), True)
        for key in tables["sayings"]:
            for said in key.split(" "):
                words[said] = True
        tables["known_words"] = words
    return word in tables["known_words"] or stem(word) in tables["known_words"]
