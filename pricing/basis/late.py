"""Heavy libraries, imported when something of them is first used: a question must not wait for what
only long records and fits need. The one place that puts an import off for that."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__all__ = ["np", "pa", "pc", "pq"]


class _Late:
    """A module that is loaded by the first look into it."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, name: str) -> Any:
        found = self.__dict__[name] = getattr(import_module(self._name), name)
        return found


if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa
    import pyarrow.compute as pc
    import pyarrow.parquet as pq
else:
    np, pa = _Late("numpy"), _Late("pyarrow")
    pc, pq = _Late("pyarrow.compute"), _Late("pyarrow.parquet")
