"""Settings: every default is possible, every mistake is named with the way out, nothing is
guessed."""

from __future__ import annotations

from pathlib import Path

import pytest

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import KEYS, Settings, load_settings, read_settings, settings_digest


def test_each_key_has_a_default_a_meaning_and_a_place_in_the_record() -> None:
    """The table of keys and the record of settings are one list."""
    for key in KEYS:
        assert getattr(Settings(), key.name) == key.default
        assert key.meaning
        if key.kind == "number" and key.default is not None:
            assert key.low <= key.default <= key.high


def test_every_default_reads_back() -> None:
    """A file that states all the defaults changes nothing."""
    table = {key.name: key.default for key in KEYS if key.default is not None}

    assert read_settings(table) == (Settings(), [])


@pytest.mark.parametrize(
    ("table", "column", "words"),
    [
        ({"spot": 3}, "spot", "did you mean spots?"),
        ({"hourly_target": "thirty"}, "hourly_target", "a number from 0"),
        ({"hourly_target": -5}, "hourly_target", "a number from 0"),
        ({"hourly_target": True}, "hourly_target", "a number from 0"),
        ({"coverage": 80}, "coverage", "0.01 to 0.999"),
        ({"short_of": "time"}, "short_of", '"space" or "hours"'),
        ({"currency": "dollars"}, "currency", 'currency = "USD"'),
        ({"usual_price": {"dishwasher": "a lot"}}, "usual_price.dishwasher", "250"),
        ({"usual_price": 12}, "usual_price", "[usual_price]"),
        ({"attributes": {"kw": "float"}}, "attributes.kw", "number"),
        ({"words": {"type": {}}}, "words.type", "one of them"),
        (
            {"assumed": {"faults": {"no heat": {"fix": 9}}}},
            "assumed.faults.no heat.fix",
            "chances 0 to 1",
        ),
        (
            {"assumed": {"types": {"kiln": {"prize": 9}}}},
            "assumed.types.kiln.prize",
            "did you mean price?",
        ),
        ({"assumed": {"kinds": {}}}, "assumed.kinds", "assumed.types"),
    ],
)
def test_a_mistake_is_named_with_the_way_out(table: dict, column: str, words: str) -> None:
    """The key as the person wrote it, and what to write instead."""
    settings, problems = read_settings(table)

    assert [p.column for p in problems] == [column]
    assert words in problems[0].fix
    assert settings.spots == Settings().spots


def test_all_mistakes_are_collected() -> None:
    """Three wrong lines, three problems."""
    assert len(read_settings({"spot": 3, "decimal": ";", "spots": 0})[1]) == 3


@pytest.mark.parametrize(
    "content", [b"spots = ", b"spots = 3\nspots = 4\n", b"\xff\xfe\x00", b"[usual_price\n"]
)
def test_a_broken_file_is_one_sentence(tmp_path: Path, content: bytes) -> None:
    """Refused with the file's name, never a traceback."""
    (tmp_path / "pricing.toml").write_bytes(content)

    with pytest.raises(Refused, match=r"pricing\.toml"):
        load_settings(Home(tmp_path))


def test_no_file_means_defaults(tmp_path: Path) -> None:
    assert load_settings(Home(tmp_path)) == Settings()


def test_own_types_and_faults_are_added() -> None:
    """A type that nobody assumed gets the generic row with what the person says of it."""
    from pricing.basis.own_rows import assumed_faults, assumed_types

    settings, problems = read_settings(
        {
            "assumed": {
                "types": {"Kiln": {"price": 900, "family": "craft"}},
                "faults": {"no glow": {"fix": 0.5}},
            },
            "usual_price": {"wall oven": 300},
        }
    )
    types = assumed_types(settings)

    assert not problems
    assert (types["kiln"].price, types["kiln"].family) == (900, "craft")
    assert types["wall oven"].price == 300
    assert types["wall oven"].low == pytest.approx(150 * 300 / 250)
    assert (
        assumed_faults(settings)[0].family,
        assumed_faults(settings)[0].fault,
        assumed_faults(settings)[0].fix,
    ) == ("any", "no glow", 0.5)


def test_the_digest_moves_only_with_what_a_fit_depends_on() -> None:
    """An hour's worth is an answer's matter; a usual price is learned with."""
    assert settings_digest(Settings()) == settings_digest(Settings(hourly_target=99))
    assert settings_digest(Settings()) != settings_digest(
        Settings(usual_price={"wall oven": 300.0})
    )
