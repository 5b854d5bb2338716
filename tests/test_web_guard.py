"""What stands between the page and everybody else: Host, key, origin, form token, sizes,
headers."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from pricing.basis.home import Home
from pricing.web.app import make_app
from pricing.web.guard import WRONG_SECONDS, WRONG_TOKENS
from pricing.web.serve import hosts_of

HOST = "127.0.0.1:8737"
KEY = "k" * 22
DAY = date(2026, 10, 5)


class Clock:
    """A clock that a test moves by hand."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def app(tmp_path: Path) -> Flask:
    return make_app(Home(tmp_path), hosts_of(8737, None), today=lambda: DAY)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def lan(tmp_path: Path, clock: Clock) -> FlaskClient:
    """The page as it is with --lan: every request needs the key."""
    return make_app(
        Home(tmp_path), hosts_of(8737, "192.168.1.20"), token=KEY, today=lambda: DAY, clock=clock
    ).test_client()


def get(client: FlaskClient, path: str = "/", host: str = HOST, **headers: str) -> int:
    return client.get(path, base_url=f"http://{host}", headers=headers).status_code


def post(client: FlaskClient, path: str = "/records", data: object = None, **headers: str) -> int:
    return client.post(path, base_url=f"http://{HOST}", headers=headers, data=data).status_code


@pytest.mark.parametrize("host", ["127.0.0.1:8737", "localhost:8737"])
def test_its_own_addresses_are_answered(client: FlaskClient, host: str) -> None:
    assert get(client, host=host) == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8737",
        "127.0.0.1",
        "127.0.0.1:8738",
        "127.0.0.1.evil.example:8737",
        "192.168.1.20:8737",
        "[::1]:8737",
        "LOCALHOST:8737.",
        "",
    ],
)
def test_any_other_host_is_refused(client: FlaskClient, host: str) -> None:
    """A name that was rebound to this machine must not reach the record."""
    assert client.get("/", base_url=f"http://{HOST}", headers={"Host": host}).status_code == 400


def test_port_80_is_left_out_by_browsers() -> None:
    assert "127.0.0.1" in hosts_of(80, None)
    assert "127.0.0.1" not in hosts_of(8737, None)


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "FOO"])
def test_other_methods_are_refused(client: FlaskClient, method: str) -> None:
    assert client.open("/records", method=method, base_url=f"http://{HOST}").status_code == 405


def test_every_answer_carries_the_headers(client: FlaskClient) -> None:
    for path in ("/", "/no-such-page", "/static/page.css"):
        with client.get(path, base_url=f"http://{HOST}") as answer:
            headers = answer.headers
        policy = headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert (
            headers["Referrer-Policy"] == "same-origin"
        )  # no-referrer would make browsers send "Origin: null" with our own forms
        assert "Access-Control-Allow-Origin" not in headers


def test_no_page_is_kept_by_a_cache(client: FlaskClient) -> None:
    assert client.get("/", base_url=f"http://{HOST}").headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize(
    "origin",
    [
        "http://evil.example",
        "null",
        "http://127.0.0.1:8738",
        f"https://{HOST}",
        "http://localhost:8737",
    ],
)
def test_a_change_from_another_origin_is_refused(
    app: Flask, client: FlaskClient, origin: str
) -> None:
    """Even with the right form token."""
    assert post(client, data={"form_token": app.config["FORM_TOKEN"]}, Origin=origin) == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_change_that_the_browser_marks_as_foreign_is_refused(
    app: Flask, client: FlaskClient, site: str
) -> None:
    headers = {"Sec-Fetch-Site": site}
    assert (
        client.post(
            "/records",
            base_url=f"http://{HOST}",
            headers=headers,
            data={"form_token": app.config["FORM_TOKEN"]},
        ).status_code
        == 403
    )


@pytest.mark.parametrize("kind", ["application/json", "text/plain", "text/csv"])
def test_only_forms_are_taken(client: FlaskClient, kind: str) -> None:
    assert (
        client.post(
            "/records", base_url=f"http://{HOST}", data=b"{}", content_type=kind
        ).status_code
        == 415
    )


def test_a_form_of_before_the_last_start_is_shown_again_with_what_was_typed(
    client: FlaskClient,
) -> None:
    """Nothing typed is lost, nothing is done either."""
    answer = client.post(
        "/records/step",
        base_url=f"http://{HOST}",
        data={"form_token": "old", "price": "240", "note": "<b>two & a half</b>"},
    )
    assert answer.status_code == 403
    assert 'name="price" value="240"' in answer.text
    assert "&lt;b&gt;two &amp; a half" in answer.text
    assert 'name="form_token" value="old"' not in answer.text


def test_too_large_is_said_in_words(client: FlaskClient) -> None:
    answer = client.post(
        "/records/file",
        base_url=f"http://{HOST}",
        data=b"x" * 26 * 2**20,
        content_type="multipart/form-data; boundary=b",
    )
    assert answer.status_code == 413
    assert "25 MB" in answer.text
    assert "pricing add" in answer.text


def test_on_the_wi_fi_nothing_is_shown_without_the_key(lan: FlaskClient) -> None:
    for path in ("/", "/records", "/static/page.css", "/learning", "/no-such-page"):
        assert get(lan, path) == 401
    assert post(lan) == 401


def test_the_key_opens_once_and_leaves_the_address(lan: FlaskClient) -> None:
    """After the first visit a cookie holds it, which no script and no other site can use; the page
    goes on by itself."""
    answer = lan.get(f"/offer?age=8&token={KEY}", base_url=f"http://{HOST}")
    assert answer.status_code == 200
    assert 'content="0;url=/offer?age=8"' in answer.text
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert get(lan) == 200


@pytest.mark.parametrize("path", ["//evil.example/x", "/\\evil.example", "///evil.example"])
def test_going_on_never_leaves_the_page(app: Flask, tmp_path: Path, path: str) -> None:
    """`//evil.example` in a path would be another machine where a page goes on to it."""
    lan = make_app(Home(tmp_path), hosts_of(8737, None), token=KEY).test_client()
    answer = lan.get(
        "/",
        base_url=f"http://{HOST}",
        query_string={"token": KEY},
        environ_overrides={"PATH_INFO": path},
    )
    assert "url=/evil.example" in answer.text


@pytest.mark.parametrize("wrong", ["", "k" * 21, "k" * 23, "é" * 22, "\x00"])
def test_a_wrong_key_is_refused(lan: FlaskClient, wrong: str) -> None:
    assert lan.get("/", query_string={"token": wrong}, base_url=f"http://{HOST}").status_code == 401


def test_wrong_keys_are_slowed_down_by_address(lan: FlaskClient, clock: Clock) -> None:
    lan = lan.application.test_client(use_cookies=False)
    for _ in range(WRONG_TOKENS):
        assert get(lan, "/?token=wrong") == 401
    assert get(lan, f"/?token={KEY}") == 429  # even the right one waits
    other = lan.get(
        f"/?token={KEY}", base_url=f"http://{HOST}", environ_base={"REMOTE_ADDR": "192.168.1.30"}
    )
    assert other.status_code == 200  # another phone does not
    clock.now = WRONG_SECONDS + 1
    assert get(lan, f"/?token={KEY}") == 200


def test_a_person_who_opens_the_bare_address_is_not_locked_out(lan: FlaskClient) -> None:
    """No key at all is no guess."""
    for _ in range(3 * WRONG_TOKENS):
        assert get(lan) == 401
    assert get(lan, f"/?token={KEY}") == 200
