"""What stands between the page and everybody else: exact Host, token for the home Wi-Fi,
same-origin changes, sizes, headers.

The page is for one person on one machine, so the rules are few and strict (after OWASP ASVS 5.0,
3.5: no change without an anti-forgery token, none by GET):

    Host        exactly an address that this server printed, else 400 (rebound names)
    token       on the Wi-Fi 128 random bits, compared in constant time; wrong ones slowed down
    changes     only by POST, with the form's own token, and only from a page of this very origin
    the page    loads nothing from elsewhere, runs no inline script, is not framed, never cached

`Referrer-Policy` is same-origin: no-referrer would make browsers send `Origin: null` with our own
forms.
"""

import hmac
import secrets
import threading
from collections.abc import Callable, Set
from dataclasses import dataclass, field
from urllib.parse import urlencode

from flask import Flask, Request, Response, abort, make_response, render_template, request
from werkzeug.wrappers import Response as AnyResponse

COOKIE = "token"
METHODS = ("GET", "HEAD", "POST")
WRONG_TOKENS = 10  # wrong tokens that one address may send ...
WRONG_SECONDS = 60.0  # ... in so many seconds before it must wait
MOST_ADDRESSES = 1_000  # addresses remembered for that
LARGEST_FORM = 25 * 2**20  # bytes of one request: a sheet of about 200,000 rows
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src"
        " 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}


@dataclass
class Slow:
    """Wrong tokens by address: after WRONG_TOKENS it waits until WRONG_SECONDS are over."""

    clock: Callable[[], float]
    seen: dict[str, list[float]] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def _recent(self, address: str) -> list[float]:
        return [t for t in self.seen.get(address, ()) if self.clock() - t < WRONG_SECONDS]

    def must_wait(self, address: str) -> bool:
        with self.lock:
            return len(self._recent(address)) >= WRONG_TOKENS

    def wrong(self, address: str) -> None:
        with self.lock:
            if address not in self.seen and len(self.seen) >= MOST_ADDRESSES:
                # The oldest address goes; 128 bits do not hang on this list
                self.seen.pop(next(iter(self.seen)))
            self.seen[address] = [*self._recent(address)[-WRONG_TOKENS:], self.clock()]


def new_token() -> str:
    """128 random bits for an address."""
    return secrets.token_urlsafe(16)


def install(app: Flask, hosts: Set[str], token: str | None, clock: Callable[[], float]) -> None:
    """Put the guard before and after every view. hosts: `127.0.0.1:8737`, … exactly as browsers
    send them; token: None on loopback only."""
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_FORM
    app.config["FORM_TOKEN"] = new_token()
    app.config["SLOW"] = slow = Slow(clock)

    @app.before_request
    def check() -> AnyResponse | None:
        if request.method not in METHODS:
            abort(405)
        if request.headers.get("Host", "") not in hosts:
            abort(400, "The program did not print this address. Open the one in its window.")
        if token is not None and (answer := _admit(request, token, slow)) is not None:
            return answer
        if request.method == "POST":
            _own_change(request, app)
        return None

    @app.after_request
    def harden(response: Response) -> Response:
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        response.headers["Cache-Control"] = (
            "private, max-age=3600"
            if request.path.startswith("/static/") and response.status_code == 200
            else "no-store"
        )
        return response


def _admit(asked: Request, token: str, slow: Slow) -> AnyResponse | None:
    """None where the cookie holds the token; a page that sets it where the address does; or 401."""
    address = asked.remote_addr or ""
    if slow.must_wait(address):
        abort(429, "Too many wrong keys from here. Wait a minute, then open the square code again.")
    if _same(asked.cookies.get(COOKIE, ""), token):
        return None
    given = asked.args.get("token", "")
    if not _same(given, token):
        if given or asked.cookies.get(COOKIE):
            slow.wrong(address)
        abort(401, "Open the whole address that the program printed, or scan its square code.")
    if asked.method == "POST":
        return None
    rest = [(name, value) for name, value in asked.args.items(multi=True) if name != "token"]
    # One slash: two would name another machine
    go_on = "/" + asked.path.lstrip("/\\") + ("?" + urlencode(rest) if rest else "")
    # A redirect would lose the cookie where a link in a mail led here
    answer = make_response(render_template("let_in.html", go_on=go_on))
    answer.set_cookie(COOKIE, token, httponly=True, samesite="Strict", path="/")
    return answer


def _own_change(asked: Request, app: Flask) -> None:
    """A change is taken only from a page of this origin that carries the form's token."""
    own = f"http://{asked.host}"
    site = asked.headers.get("Sec-Fetch-Site", "same-origin")
    if asked.headers.get("Origin", own) != own or site not in ("same-origin", "none"):
        abort(403, "This came from another page and was not done.")
    if (asked.mimetype or "") not in ("application/x-www-form-urlencoded", "multipart/form-data"):
        abort(415, "This page takes forms only.")
    if not _same(asked.form.get("form_token", ""), app.config["FORM_TOKEN"]):
        raise StaleForm


class StaleForm(Exception):
    """A form of this origin from before the last start: shown again, one more press sends it."""


def _same(given: str, wanted: str) -> bool:
    return hmac.compare_digest(given.encode("utf-8", "surrogatepass"), wanted.encode())
