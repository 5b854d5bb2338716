"""The views at the quarter's end: what pays, and the quarter on a page."""

from __future__ import annotations

from flask import render_template


def compare() -> str:
    """*What pays*."""
    return render_template("first.html")


def report() -> str:
    """*This quarter*."""
    return render_template("first.html")


def report_page() -> str:
    """The report file itself."""
    return render_template("first.html")
