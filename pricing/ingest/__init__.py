"""A sheet as given -> typed rows and problems. `read_file` is the door."""

from pricing.ingest.read import read_file
from pricing.ingest.reading import Answers, Reading

__all__ = ["Answers", "Reading", "read_file"]
