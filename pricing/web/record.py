"""*My list*: every unit, and the small forms that move it from the day it was got to the sale."""

from __future__ import annotations

from flask import Flask, render_template


def add_rules(app: Flask) -> None:
    app.add_url_rule("/records", "records", records)


def records() -> str:
    return render_template("first.html")
