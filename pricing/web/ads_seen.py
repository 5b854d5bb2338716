"""*Ads you saw*: one field for a sentence or pasted text of several ads, and those written down."""

from urllib.parse import urlencode

from flask import redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.pipeline import seeing
from pricing.record import ad_rows
from pricing.web import list_of_changes
from pricing.web.place import here

PATH = "/records/seen"
SHOWN = 200


def seen() -> str:
    """The ads that count, the last first."""
    ads = ad_rows.read(here().home)[::-1][:SHOWN]
    return render_template("seen.html", ads=ads, done=list_of_changes.done(PATH), above=())


def write_seen() -> str | AnyResponse:
    """Write the field's ads down; where one cannot be read nothing is, and the text stays."""
    place = here()
    typed = {name: request.form.get(name, "")[:20_000] for name in ("said", "where")}
    found, problems = seeing.said_in(
        typed["said"], place.settings(), place.today(), seeing.words_of(place.home), typed["where"]
    )
    if problems or not found:
        return render_template("seen.html", ads=(), done=None, above=problems, **typed)

    def write() -> str:
        entry = seeing.keep(place.home, found, place.today())
        return f"{PATH}?{urlencode({'done': entry.number})}"

    return redirect(list_of_changes.once(write), 303)
