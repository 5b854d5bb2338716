"""A script of the phone run by node: what it is sent, and what it says."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

NODE = shutil.which("node")
needs_node = pytest.mark.skipif(NODE is None, reason="no node here: apt-get install -y nodejs")


def said_by(script: str, sent: Any, folder: Path, timeout: float = 300) -> Any:
    """What a script prints as JSON when it is sent something as JSON."""
    path = folder / "script.js"
    path.write_text(script, encoding="utf-8")
    assert NODE is not None
    done = subprocess.run(
        [NODE, str(path)],
        input=json.dumps(sent),
        capture_output=True,
        text=True,
        timeout=timeout,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout)
