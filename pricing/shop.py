"""The Python face of a record: the stories of the commands as methods, many answers as tables."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pricing.api import as_html, checked_day
from pricing.basis import problems, rules
from pricing.basis.home import Home, find_home
from pricing.basis.settings import Settings, load_settings
from pricing.ingest import Answers
from pricing.model import saved
from pricing.pages import accuracy_text, compare_text, fit_text, quarter_page
from pricing.pipeline import adding, asking, column_table, fitting, offering, proving
from pricing.pipeline import question_from as questions
from pricing.pipeline import reporting as quarters
from pricing.pipeline.frames import as_pandas

if TYPE_CHECKING:
    import pandas as pd

Answer = dict[str, Any]


@dataclass(frozen=True, repr=False)
class Shop:
    """One person's record: the stories of the commands, so their answers. home: its folder; day:
    the day that answers are for, today where it is None.

    Single answers are records, as `--json` prints them (docs/json.md); many are pandas tables whose
    columns are the fields, `price.median` for one inside another; pictures are figures of
    matplotlib. What cannot be served raises `basis.problems.Refused`.
    """

    home: Home
    day: date | None = None

    def __repr__(self) -> str:
        return f"<Shop in {self.home.path}>"

    def _repr_html_(self) -> str:
        rows = {"folder": str(self.home.path), "as of": str(self.as_of)}
        try:
            numbers = saved.load(self.home)
        except problems.Refused as refusal:
            return as_html("Shop", {**rows, "learned": str(refusal.problems[0].what)})
        open_now = f"{len(numbers.open_units()):,}"
        return as_html("Shop", {**rows, "sales": f"{numbers.price.n:,}", "open units": open_now})

    @property
    def as_of(self) -> date:
        """The day that answers are for."""
        return self.day or date.today()

    @property
    def settings(self) -> Settings:
        """The settings as they stand in the folder now."""
        return load_settings(self.home)

    def add(self, sheet: Any, *, dry_run: bool = False, learn: bool = True, **said: Any) -> Answer:
        """Record a file or a table, and learn from it. said: what only the person can say of it,
        the fields of `ingest.Answers`, such as date_order="dmy"."""
        if not isinstance(sheet, str | Path):
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / "table.csv"
                as_pandas(sheet).to_csv(path, index=False)
                return self.add(path, dry_run=dry_run, learn=learn, **said)
        told = (self.settings, self.as_of, Answers(**said), dry_run)
        added = adding.add(self.home, Path(sheet), *told)
        if added.entry is not None and learn and not dry_run:
            self.fit()
        return column_table.as_dict(added)

    def fit(self) -> Answer:
        """Learn from the record, and what was learned."""
        return fit_text.fit_json(fitting.fit(self.home, self.settings, self.as_of))

    def offer(self, what: Any, **options: Any) -> Any:
        """The most to pay. what: words, a record of a question's fields, or a table of such, a row
        a call; options: fields too, such as their_price=40."""
        return self._answer("offer", what, options, offering.offer, rules.load(self.home))

    def bench(self, what: Any, **options: Any) -> Any:
        """Go on, sell as-is, part out or scrap."""
        return self._answer("bench", what, options, asking.bench, rules.load(self.home))

    def ask(self, what: Any, **options: Any) -> Any:
        """What to ask; unit="212" for one of the record."""
        return self._answer("ask", what, options, asking.ask)

    def _answer(self, purpose: str, what: Any, options: Any, story: Any, *more: Any) -> Any:
        import pandas as pd

        numbers, settings, day = saved.load(self.home), self.settings, self.as_of

        def answer(words: str, told: Mapping[str, Any]) -> Answer:
            questions.hold(words, told, purpose, settings, day)
            one = questions.asked(words, told, settings, day, numbers, purpose)
            return story(one, numbers, settings, day, *more).as_dict()

        if isinstance(what, str):
            return answer(what, options)
        if isinstance(what, dict) and all(map(pd.api.types.is_scalar, what.values())):
            return answer("", {**what, **options})
        frame, found = as_pandas(what), []
        for row in frame.astype(object).where(frame.notna(), None).to_dict("records"):
            try:
                found.append(answer("", {**row, **options}))
            except problems.Refused as refusal:
                found.append({"problem": str(refusal.problems[0])})
        return pd.json_normalize(found, max_level=1).set_axis(frame.index)

    def unsold(self) -> pd.DataFrame:
        """Every unit that is listed, with its next step."""
        answer = asking.unsold(self.home, self.settings, self.as_of)
        return _table(answer.as_dict(), "unsold")

    def compare(self, by: str | Sequence[str] = "type") -> pd.DataFrame:
        """What pays per hour, a row a group; `attrs` holds what is said of all of them."""
        names = (by,) if isinstance(by, str) else tuple(by)
        compared = quarters.compare(self.home, self.settings, self.as_of, names)
        whole = compare_text.compare_json(compared, self.settings.currency, self.as_of.isoformat())
        return _table(whole, "groups")

    def report(self, quarter: str | None = None, out: str | Path | None = None) -> Answer:
        """The quarter as numbers; `files` are those written."""
        folder = Path(out) if out is not None else None
        done = quarters.report(self.home, self.settings, self.as_of, quarter, folder)
        return dict(quarter_page.report_json(done.report, done.page, list(map(str, done.files))))

    def accuracy(self) -> Answer:
        """Were the estimates right: the record replayed by date."""
        proof = proving.prove(self.home, self.settings, self.as_of)
        day = self.as_of.isoformat()
        return dict(accuracy_text.accuracy_json(proof.accuracy, proof.card, day, proof.warning))

    def draw(self, what: str, *words: str, **options: Any) -> Any:
        """The picture of an answer, a matplotlib Figure: draw("ask", "gas range, 8 years"),
        draw("compare", "type"), draw("accuracy")."""
        from pricing.pages import charts

        settings, day = self.settings, self.as_of
        if what == "ask":
            numbers = saved.load(self.home)
            told = (" ".join(words), options, settings, day, numbers, what)
            one = questions.asked(*told)
            return asking.picture(one, numbers, settings, self.home, day).figure
        if what == "compare":
            found = quarters.compare(self.home, settings, day, words or ("type",)).comparison
            return quarters.picture(found, settings, self.home, day).figure
        if what == "accuracy":
            judged = proving.prove(self.home, settings, day).accuracy
            return charts.calls(proving.calls_of(judged), settings.currency).figure
        raise problems.unusable(f"there is no picture of {what!r}", "draw ask, compare or accuracy")


def _table(answer: Mapping[str, Any], rows: str) -> pd.DataFrame:
    """One list of an answer as a table; the rest of the answer as its `attrs`."""
    import pandas as pd

    table = pd.json_normalize(answer[rows], max_level=1)
    table.attrs = {name: value for name, value in answer.items() if name != rows}
    return table


def open_home(home: str | Path | None = None, day: date | None = None) -> Shop:
    """The record of a folder (default: where the commands look for it), for the day `day`."""
    return Shop(find_home(None if home is None else str(home)), checked_day(day, "day"))
