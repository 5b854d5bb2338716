"""Coverage-guided fuzzing of decode, dialect and rows, as an optional long run; it needs `pip
install atheris`.

    python tests/fuzz_reading.py -max_total_time=60 tests/corpus

Any bytes must be read or refused in words, and every row must be accounted for; anything else is a
finding.
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))


def read_anything(data: bytes) -> None:
    """One run: a reading that ties out, or a refusal with a way out."""
    from pricing.basis.problems import Refused
    from pricing.basis.settings import Settings
    from pricing.ingest import Answers
    from pricing.ingest.encoding import decode
    from pricing.ingest.read import Given, read_text

    try:
        given = Given("fuzz.csv", Settings(), date(2026, 11, 25), Answers())
        reading = read_text(decode(data, "fuzz.csv"), given)
    except Refused as refused:
        assert refused.problems[0].fix
        return
    assert reading.seen == len(reading.rows) + len(reading.rejected) + len(reading.skipped)
    assert all(
        row.values["price"] > 0
        for row in reading.rows
        if row.values.get("outcome") == "sold" and "price" in row.values
    )


if __name__ == "__main__":
    try:
        import atheris
    except ImportError:
        sys.exit("this long run needs atheris: pip install atheris")
    atheris.instrument_all()
    atheris.Setup(sys.argv, read_anything)
    atheris.Fuzz()
