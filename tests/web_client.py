"""A browser without script: gets pages of the local page, fills their forms as they stand, and
follows where they lead."""

from __future__ import annotations

import http.client
import io
import os
import re
import socket
import subprocess
import sys
from dataclasses import dataclass, field
from datetime import date
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from pricing.basis.home import Home
from pricing.web.app import make_app
from pricing.web.refit import Refit

HOST = "127.0.0.1:8737"
DAY = date(2026, 10, 5)


@dataclass
class Form:
    """One form of a page: where it goes and what stands in its fields."""

    action: str = ""
    method: str = "get"
    fields: dict[str, str] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    button: str = ""


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.text: list[str] = []
        self.area = self.select = ""
        self.in_button = self.in_form = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        at = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append(Form(at.get("action", ""), at.get("method", "get")))
            self.in_form = True
        if not self.in_form:
            return
        form = self.forms[-1]
        if tag == "input" and at.get("name"):
            form.names.add(at["name"])
            if at.get("type") in ("checkbox", "radio"):
                if "checked" in at:
                    form.fields[at["name"]] = at.get("value", "on")
            elif at.get("type") != "file":
                form.fields[at["name"]] = at.get("value", "")
        elif tag == "textarea":
            self.area = at["name"]
            form.names.add(self.area)
            form.fields[self.area] = ""
        elif tag == "select":
            self.select = at["name"]
            form.names.add(self.select)
            form.fields.setdefault(self.select, "")
        elif tag == "option" and self.select and "selected" in at:
            form.fields[self.select] = at.get("value", "")
        elif tag == "button":
            self.in_button = True
            form.names.add(at.get("name", ""))

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self.area = ""
        elif tag == "select":
            self.select = ""
        elif tag == "button":
            self.in_button = False
        elif tag == "form":
            self.in_form = False

    def handle_data(self, data: str) -> None:
        self.text.append(data)
        if self.area:
            self.forms[-1].fields[self.area] += data
        if self.in_button and self.in_form:
            self.forms[-1].button += data


@dataclass
class Page:
    """One answer. text: what a person reads, blanks made single."""

    status: int
    html: str
    address: str
    forms: list[Form]
    text: str

    def form(self, button: str) -> Form:
        """The first form whose button reads like this."""
        return next(form for form in self.forms if button.lower() in form.button.lower())


class Resting(Refit):
    """Counts what would be learned and starts nothing."""

    def changed(self) -> None:
        self.wanted += 1


class Browser:
    """One person's browser on one home."""

    def __init__(self, home: Home, day: date = DAY, app: Flask | None = None) -> None:
        self.refit = Resting(home, lambda: day)
        self.app = app or make_app(home, frozenset({HOST}), today=lambda: day, refit=self.refit)
        self.client: FlaskClient = self.app.test_client()

    def get(self, address: str) -> Page:
        return self._page(
            self.client.get(address, base_url=f"http://{HOST}", follow_redirects=False), address
        )

    def send(self, form: Form, **typed: str | list[str]) -> Page:
        """Fill a form over what stands in it and press its button; a redirect is followed, as a
        browser does. A list fills fields of one name."""
        unknown = set(typed) - form.names
        assert not unknown, f"no such field: {unknown}"
        data = {**form.fields, **typed}
        if form.method == "get":
            return self._page(
                self.client.get(form.action, query_string=data, base_url=f"http://{HOST}"),
                form.action,
            )
        return self._follow(
            self.client.post(
                form.action,
                data=data,
                base_url=f"http://{HOST}",
                headers={"Origin": f"http://{HOST}"},
            ),
            form.action,
        )

    def drop(self, form: Form, name: str, data: bytes) -> Page:
        """Choose a file in a form and press its button."""
        sent = {**form.fields, "file": (io.BytesIO(data), name)}
        return self._follow(
            self.client.post(
                form.action,
                data=sent,
                base_url=f"http://{HOST}",
                headers={"Origin": f"http://{HOST}"},
            ),
            form.action,
        )

    def _follow(self, answer: Any, address: str) -> Page:
        if answer.status_code == 303:
            return self.get(answer.headers["Location"])
        return self._page(answer, address)

    def _page(self, answer: Any, address: str) -> Page:
        reader = _Reader()
        reader.feed(answer.text)
        return Page(
            answer.status_code,
            answer.text,
            address,
            reader.forms,
            " ".join(" ".join(reader.text).split()),
        )


def home_with(folder: Path, sheet: str = "") -> Home:
    """A home with a small sheet in it, nothing learned."""
    from pricing.basis.settings import Settings
    from pricing.pipeline.adding import add

    home = Home(folder / "home")
    if sheet:
        path = folder / "units.csv"
        path.write_text(sheet, encoding="utf-8")
        add(home, path, Settings(), DAY)
    return home


@dataclass
class Running:
    """A page in a process of its own, as a person starts it."""

    process: subprocess.Popen[str]
    port: int
    home: Home
    said: str

    def answer(
        self,
        path: str = "/records",
        method: str = "GET",
        headers: dict[str, str] | None = None,
        body: bytes | None = None,
    ) -> tuple[int, bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        try:
            connection.request(method, path, body, headers or {})
            response = connection.getresponse()
            return response.status, response.read()
        finally:
            connection.close()

    def raw(self, data: bytes) -> bytes:
        """The first line of what comes back."""
        with socket.create_connection(("127.0.0.1", self.port), 6) as connection:
            try:
                connection.sendall(data)
                return connection.recv(4096).split(b"\r\n")[0]
            except ConnectionError:
                return b"closed"


# The program with a page that learns nothing anew: a fit in a process beside it after each press
# would take most of the time of tests that look at something else.
RESTS = (
    "from pricing.web.refit import Refit; Refit.changed = lambda self: None;"
    " from pricing.cli import main; main()"
)


def start(home: Home, *options: str, learns: bool = True) -> Running:
    command = [
        sys.executable,
        *(("-m", "pricing") if learns else ("-c", RESTS)),
        "web",
        "--port",
        "0",
        "--home",
        str(home.path),
        "--no-open",
        *options,
    ]
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )
    assert process.stdout is not None
    said = ""
    while "Ctrl-C" not in said:
        line = process.stdout.readline()
        assert line, f"the page did not start: {said}"
        said += line
    found = re.search(r"http://127\.0\.0\.1:(\d+)/", said)
    assert found
    return Running(process, int(found[1]), home, said)
