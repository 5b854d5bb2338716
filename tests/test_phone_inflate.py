"""The numbers of the phone file come out of it as they went in: the page's reader of deflated bytes
against zlib's writer."""

from __future__ import annotations

import base64
import json
import random
import subprocess
import zlib
from pathlib import Path

import pytest
from in_node import NODE, needs_node

from pricing.pages import phone

pytestmark = needs_node
RUN = """
const asked = JSON.parse(require("fs").readFileSync(0, "utf8"));
console.log(JSON.stringify(asked.map(inflated)));
"""


def inflated(streams: list[bytes], folder: Path) -> subprocess.CompletedProcess[str]:
    script = folder / "inflate.js"
    script.write_text((phone.FOLDER / "inflate.js").read_text(encoding="utf-8") + RUN, "utf-8")
    sent = json.dumps([base64.b64encode(one).decode() for one in streams])
    assert NODE is not None
    return subprocess.run(
        [NODE, str(script)], input=sent, capture_output=True, text=True, timeout=120, check=False
    )


def test_all_three_kinds_of_blocks(tmp_path: Path) -> None:
    """Stored, with the codes of the standard, and with codes of their own; letters of any script,
    runs that overlap themselves, more than one block."""
    draw = random.Random(3)
    texts = ["", "a", "abc" * 1000, "é🔥€" * 50, "x" * 70_000]
    texts.append("".join(str(draw.random()) for _ in range(20_000)))
    texts.append("".join(chr(draw.randrange(32, 700)) for _ in range(70_000)))
    sent, streams = [], []
    for text in texts:
        for level, plan in ((0, 0), (1, 0), (9, 0), (9, zlib.Z_FIXED), (6, zlib.Z_HUFFMAN_ONLY)):
            packer = zlib.compressobj(level, strategy=plan)
            sent.append(text)
            streams.append(packer.compress(text.encode()) + packer.flush())
    done = inflated(streams, tmp_path)

    assert done.returncode == 0, done.stderr[-2000:]
    assert json.loads(done.stdout) == sent


@pytest.mark.parametrize("lost", [0.3, 0.9])
def test_a_file_cut_short_is_no_numbers(lost: float, tmp_path: Path) -> None:
    """It stops or gives another text; it never hangs or answers with the whole."""
    text = json.dumps([round(x * 0.37, 3) for x in range(5_000)])
    whole = zlib.compress(text.encode(), 9)
    done = inflated([whole[: int(len(whole) * lost)]], tmp_path)

    assert done.returncode != 0 or json.loads(done.stdout) != [text]
