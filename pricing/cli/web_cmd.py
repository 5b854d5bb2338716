"""`pricing web`: the same questions on a page in the browser, here or by --lan on the phone."""

import sys
from datetime import date
from typing import Any

import click

from pricing.cli.common import Now, flag, home_options, option, say, told
from pricing.web.serve import PORT

ON_WIFI = """Anyone with this link can see and change your record. The
connection is not encrypted: use it on your own Wi-Fi only.
The link is new each time."""
AT: Any = {"default": PORT, "show_default": True}


@click.command()
@home_options
@option("--port", "Where the page answers; 0 takes any free one.", click.IntRange(0, 65535), **AT)
@flag("--lan", "Let a phone on your Wi-Fi in: prints an address with a key, and a square code.")
@option(
    ("--open/--no-open", "open_it"),
    "Open the page in the browser.  [default: in a terminal, without --lan]",
    default=None,
)
@click.pass_context
def web(ctx: click.Context, now: Now, port: int, lan: bool, open_it: Any) -> None:
    """Your record and every question on a page in your browser; Ctrl-C stops it.

    \b
    Examples:
      pricing web
      pricing web --lan            also for the phone on your Wi-Fi
      pricing web --port 8800
    """
    from pricing.web import serve
    from pricing.web.app import make_app
    from pricing.web.guard import new_token

    fixed_day = ctx.get_parameter_source("as_of") is not click.core.ParameterSource.DEFAULT
    address = serve.lan_address() if lan else None
    sockets = serve.open_port(port, address)
    port = sockets[0].getsockname()[1]
    token = new_token() if lan else None
    today = (lambda: now.as_of) if fixed_day else date.today
    app = make_app(now.home, serve.hosts_of(port, address), token=token, today=today)
    here = f"http://127.0.0.1:{port}/" + (f"?token={token}" if token else "")
    there = f"http://{address}:{port}/?token={token}" if lan else None
    lines = [f"Your page: {here}", f"Record:    {now.home.path}"]
    if there:
        lines += [f"On the phone, same Wi-Fi: {there}\n", serve.qr_code(there), ON_WIFI]
    lines.append("Ctrl-C stops it.")
    say({"address": here, "lan": there, "home": str(now.home.path)}, lambda: lines)
    sys.stdout.flush()
    if open_it or (open_it is None and not lan and not told("json") and sys.stdout.isatty()):
        import webbrowser

        webbrowser.open(here)
    app.config["PLACE"].refit.look()
    serve.serve(app, sockets)
