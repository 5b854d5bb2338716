"""data/headings.json: what the person said about a file, for the next file of the same shape.
Checked by its own SHA-256."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from pricing.basis.files import read_bytes, sha256, write_bytes
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused


def load(home: Home) -> dict[str, dict[str, Any]]:
    """Shape of a header -> what was said. Empty where nothing was said yet. Raises Refused naming
    the file where it is damaged."""
    path = home.data / "headings.json"
    if not path.exists():
        return {}
    data = read_bytes(path)
    try:
        table = json.loads(data)
        body = table["body"]
        if (
            table["sha256"] != sha256(_plain(body))
            or data != _bytes(body)
            or not isinstance(body, dict)
        ):
            raise ValueError
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise Refused(
            Problem(
                "what was learned about your headers is damaged",
                "delete this file; you will be asked again",
                file=str(path),
            )
        ) from error
    return body


def remember(home: Home, shape: str, said: Mapping[str, Any]) -> None:
    """Add what was said about one shape. Under the lock only."""
    if said:
        body = load(home)
        known = body.get(shape, {})
        body[shape] = {
            **known,
            **said,
            "headers": {**known.get("headers", {}), **said.get("headers", {})},
        }
        write_bytes(home.data / "headings.json", _bytes(body))


def _plain(body: Any) -> bytes:
    return json.dumps(body, sort_keys=True, ensure_ascii=True).encode()


def _bytes(body: Any) -> bytes:
    return (
        json.dumps(
            {"sha256": sha256(_plain(body)), "body": body},
            sort_keys=True,
            ensure_ascii=True,
            indent=1,
        ).encode()
        + b"\n"
    )
