"""The home folder: where one person's record, fitted numbers, reports and settings stand.

data/ originals, record, rejected rows; models/ fitted numbers as JSON; reports/ for reading;
pricing.toml the person's own settings
"""

import os
from pathlib import Path

from pricing.basis.frozen import frozen

DEMO_MARK = "DEMO (invented)"  # name of the file that marks the demo's folder
DEMO_UNIT = "DEMO-"  # how unit numbers of the demo begin


@frozen
class Home:
    """Names only: nothing is created by making one."""

    path: Path

    @property
    def data(self) -> Path:
        return self.path / "data"

    @property
    def models(self) -> Path:
        return self.path / "models"

    @property
    def reports(self) -> Path:
        return self.path / "reports"

    @property
    def settings_file(self) -> Path:
        return self.path / "pricing.toml"

    @property
    def is_demo(self) -> bool:
        """Whether this is the invented demo; nothing of it may enter another record."""
        return (self.path / DEMO_MARK).exists()


def find_home(given: str | None) -> Home:
    """`--home`, PRICING_HOME, the current folder if it is a home, or `pricing` in documents."""
    if given:
        return Home(Path(given).expanduser().absolute())
    if named := os.environ.get("PRICING_HOME"):
        return Home(Path(named).expanduser().absolute())
    here = Home(Path.cwd())
    if here.settings_file.exists() or (here.data / "record.db").exists():
        return here
    # 30 ms, only where nothing else says where home is
    from platformdirs import user_documents_path

    return Home(user_documents_path() / "pricing")
