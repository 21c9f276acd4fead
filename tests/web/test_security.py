"""Each attack that a bench has to withstand, and its answer."""

from __future__ import annotations

import asyncio
import socket
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from typing import Any

import httpx
import pytest
from argon2 import PasswordHasher
from fastapi.routing import APIRoute
from starlette.requests import HTTPConnection

from groundstrap.errors import CallError
from groundstrap.web import Settings, create_app, tasks
from groundstrap.web.pages.rendering import Look
from groundstrap.web.settings import LOOPBACK_NAMES, Limits
from groundstrap.web.signing import hashed
from groundstrap.web.visitors import Visitors
from tests.support.bench import LAMP, PASSPHRASE, PLENTY, every_route

HOME = "http://localhost:8412"
# As little work as the library takes: the tests sign in often.
CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(PASSPHRASE)


@contextmanager
def at(app: Any, base: str = HOME, client: tuple[str, int] = ("127.0.0.1", 5)) -> Iterator[Visit]:
    """Ask an application that runs no server: what is asked here needs neither workers nor shelf."""
    runner = asyncio.Runner()
    transport = httpx.ASGITransport(app, raise_app_exceptions=False, client=client)
    inner = httpx.AsyncClient(transport=transport, base_url=base)
    try:
        yield Visit(runner, inner)
    finally:
        runner.run(inner.aclose())
        runner.close()


class Visit:
    def __init__(self, runner: asyncio.Runner, client: httpx.AsyncClient) -> None:
        self.runner, self.client = runner, client

    def ask(self, method: str, path: str, **given: Any) -> httpx.Response:
        return self.runner.run(self.client.request(method, path, **given))

    def token(self) -> str:
        return str(self.ask("GET", "/api/session").json()["token"])

    def sign_in(self, passphrase: str = PASSPHRASE, who: str = "Ada") -> httpx.Response:
        given = {"passphrase": passphrase, "who": who}
        return self.ask("POST", "/api/session", json=given, headers={"X-CSRF-Token": self.token()})


def settings(**given: Any) -> Settings:
    values: dict[str, Any] = {"secret": b"k" * 32, "shelf": "sqlite://", "limits": PLENTY}
    return Settings(**{**values, **given})


@pytest.fixture
def alone() -> Any:
    return create_app(settings())


@pytest.fixture
def shared() -> Any:
    return create_app(settings(passphrase_hash=CHEAP, names=LOOPBACK_NAMES | {"workshop.local"}))


# --- names ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:8412", "localhost.evil.example", "192.168.1.7", ""]
)
def test_a_name_that_is_not_ours_is_turned_away(alone: Any, host: str) -> None:
    with at(alone) as visit:
        assert visit.ask("GET", "/api/session", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost:8412", "127.0.0.1", "[::1]:8412", "LOCALHOST"])
def test_our_own_names_are_answered(alone: Any, host: str) -> None:
    with at(alone) as visit:
        assert visit.ask("GET", "/api/session", headers={"Host": host}).status_code == 200


def test_a_shared_bench_goes_by_addresses_and_by_its_machines_name(shared: Any) -> None:
    with at(shared) as visit:
        for host, status in (("192.168.1.7:8412", 200), ("workshop.local", 200), ("rebound.example", 421)):
            assert visit.ask("GET", "/api/session", headers={"Host": host}).status_code == status


# --- forged requests --------------------------------------------------------------------------------------


def test_a_change_needs_the_token_of_its_visitor(alone: Any) -> None:
    with at(alone) as visit, at(alone) as other:
        visit.token()
        for headers in ({}, {"X-CSRF-Token": "0" * 40}, {"X-CSRF-Token": other.token()}):
            found = visit.ask("PUT", "/api/session", json={"who": "x"}, headers=headers)
            assert (found.status_code, found.json()["type"]) == (403, "/api/problems#forgery")
        assert visit.ask(
            "PUT", "/api/session", json={"who": "x"}, headers={"X-CSRF-Token": visit.token()}
        ).is_success


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://localhost:9999"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_change_from_another_site_is_not_taken_even_with_a_token(
    alone: Any, headers: dict[str, str]
) -> None:
    with at(alone) as visit:
        given = {**headers, "X-CSRF-Token": visit.token()}
        assert visit.ask("PUT", "/api/session", json={"who": "x"}, headers=given).status_code == 403


def test_a_form_brings_its_token_as_its_first_field(alone: Any) -> None:
    with at(alone) as visit:
        token = visit.token()
        taken, status = {"csrf": token, "language": "de", "back": "/"}, {303}
        assert visit.ask("POST", "/choices", data=taken).status_code in status
        assert visit.ask("POST", "/choices", data={"language": "de", "csrf": token}).status_code == 403
        assert visit.ask("POST", "/choices", data={"csrf": "0" * 40, "language": "de"}).status_code == 403
        files = {"csrf": (None, token), "language": (None, "de")}
        assert visit.ask("POST", "/choices", files=files).status_code in status
        wrong = {"csrf": (None, "1" * 40), "language": (None, "de")}
        assert visit.ask("POST", "/choices", files=wrong).status_code == 403


def test_no_other_site_may_read_anything(alone: Any) -> None:
    with at(alone) as visit:
        found = visit.ask("GET", "/api/session", headers={"Origin": "http://evil.example"})
        assert "access-control-allow-origin" not in found.headers
        asked = visit.ask("OPTIONS", "/api/session", headers={"Origin": "http://evil.example"})
        assert "access-control-allow-origin" not in asked.headers


def test_a_forged_cookie_is_worth_nothing(alone: Any) -> None:
    with at(alone) as visit:
        visit.token()
        cookie = visit.client.cookies["groundstrap-8412"]
        for forged in (
            cookie[:-1] + ("0" if cookie[-1] != "0" else "1"),
            "x." + cookie.split(".")[1],
            "a.b",
            "é",
            "",
        ):
            headers = {"Cookie": f"groundstrap-8412={forged}".encode()}
            visit.client.cookies.clear()
            assert "set-cookie" in visit.ask("GET", "/api/session", headers=headers).headers


# --- signing in -------------------------------------------------------------------------------------------


def test_without_signing_in_nothing_of_a_shared_bench_is_seen(shared: Any) -> None:
    open_ = {"/api/session", "/api/openapi.json", "/sign-in", "/static/{version}/{name}"}
    paths = {(path, method) for method, path, _ in every_route(shared.routes)}
    assert len(paths) > 50
    with at(shared) as visit:
        token = {"X-CSRF-Token": visit.token()}
        for path, method in sorted(paths):
            if path in open_ or method == "HEAD":
                continue
            plain = path.replace("{", "").replace("}", "")
            found = visit.ask(method, plain, headers=token)
            assert found.status_code == 401, path
            page = visit.ask(method, plain, headers={**token, "Accept": "text/html"})
            assert page.status_code in {401, 303}, path
            assert page.headers.get("location", "/sign-in") == "/sign-in"


def test_signing_in_and_out(shared: Any) -> None:
    with at(shared) as visit:
        visit.token()
        before = visit.client.cookies["groundstrap-8412"]
        assert visit.sign_in().json() | {"token": ""} == {
            "token": "",
            "who": "Ada",
            "signed_in": True,
            "shared": True,
        }
        after = visit.client.cookies["groundstrap-8412"]
        assert after != before  # an id that somebody planted is worth nothing
        assert visit.ask("GET", "/api/rules").is_success
        assert visit.ask("DELETE", "/api/session", headers={"X-CSRF-Token": visit.token()}).status_code == 204
        visit.client.cookies.set("groundstrap-8412", after, domain="localhost.local")
        assert visit.ask("GET", "/api/rules").status_code == 401


def test_the_cookie_is_kept_from_scripts_and_from_other_sites(shared: Any) -> None:
    with at(shared) as visit:
        told = visit.sign_in().headers["set-cookie"]
        assert "HttpOnly" in told
        assert "SameSite=Strict" in told
        assert "Path=/" in told


def test_a_sign_in_ends_by_itself() -> None:
    now = [0.0]
    visitors = Visitors(
        settings(passphrase_hash=CHEAP, limits=Limits(idle_seconds=10, session_seconds=25)), lambda: now[0]
    )
    made = visitors.sign_in("Ada")

    def there() -> bool:
        cookie = f"groundstrap-8412={made.id}.{visitors._mark('cookie', made.id)}".encode()
        return visitors.of(httpx_connection(cookie)).signed_in

    for second, still in ((0, True), (9, True), (18, True), (24, True), (26, False), (0, False)):
        now[0] = float(second)
        assert there() is still, second
    made = visitors.sign_in("Ada")
    now[0] += 11
    assert not there()


def httpx_connection(cookie: bytes) -> Any:
    return HTTPConnection({"type": "http", "headers": [(b"cookie", cookie)]})


def test_guessing_is_slowed_down() -> None:
    app = create_app(settings(passphrase_hash=CHEAP, limits=Limits(refusals=3, refusal_seconds=300)))
    with at(app, client=("10.0.0.9", 1)) as thief, at(app, client=("10.0.0.4", 1)) as owner:
        assert [thief.sign_in("guess").status_code for _ in range(5)] == [401, 401, 401, 429, 429]
        found = thief.sign_in(PASSPHRASE)  # even the right one has to wait now
        assert (found.status_code, int(found.headers["retry-after"]) > 60) == (429, True)
        assert owner.sign_in().status_code == 200


def test_signing_in_often_with_the_right_passphrase_is_no_guessing() -> None:
    app = create_app(settings(passphrase_hash=CHEAP, limits=Limits(refusals=2, burst=1000)))
    for _ in range(6):
        with at(app) as visit:
            assert visit.sign_in().status_code == 200


def test_a_passphrase_is_kept_as_argon2id_and_not_a_short_one() -> None:
    found = hashed("four words of mine")
    assert found.startswith("$argon2id$")
    assert "words" not in found
    with pytest.raises(CallError, match="at least 10"):
        hashed("short")


def test_nobody_signs_in_where_nothing_is_shared(alone: Any) -> None:
    with at(alone) as visit:
        assert visit.sign_in().status_code == 409


# --- pace and size ----------------------------------------------------------------------------------------


def test_whoever_asks_too_quickly_has_to_wait() -> None:
    app = create_app(settings(limits=Limits(per_second=0.1, burst=5)))
    with at(app) as visit, at(app, client=("127.0.0.7", 1)) as other:
        found = [visit.ask("GET", "/api/session") for _ in range(7)]
        assert [each.status_code for each in found][:5] == [200] * 5
        last = [*found, *(visit.ask("GET", "/api/session") for _ in range(8))][-1]
        assert last.status_code == 429
        assert int(last.headers["retry-after"]) >= 1
        assert other.ask("GET", "/api/session").status_code == 200


def test_throwing_the_cookie_away_is_no_way_round_the_pace() -> None:
    app = create_app(settings(passphrase_hash=CHEAP, limits=Limits(per_second=0.1, burst=5)))
    with at(app) as visit:
        statuses = []
        for _ in range(7):
            visit.client.cookies.clear()
            statuses.append(visit.ask("GET", "/api/session").status_code)
        assert statuses == [200] * 5 + [429] * 2


async def _pieces(count: int, size: int) -> AsyncIterator[bytes]:
    for _ in range(count):
        yield b"x" * size


@pytest.mark.parametrize("path", ["/api/answers", "/api/jobs/import", "/api/jobs/abc/photos"])
def test_a_body_that_is_too_large_is_refused_before_it_is_read(path: str) -> None:
    app = create_app(settings(limits=Limits(body_bytes=1000, photo_bytes=1000, import_bytes=1000)))
    read: list[int] = []

    async def counted() -> AsyncIterator[bytes]:
        if "answers" not in path:
            yield b'--b\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n'
        async for piece in _pieces(50, 100):
            read.append(len(piece))
            yield piece

    with at(app) as visit:
        kind = "application/json" if path == "/api/answers" else "multipart/form-data; boundary=b"
        headers = {"X-CSRF-Token": visit.token(), "Content-Type": kind}
        told = visit.ask("POST", path, content=counted(), headers={**headers, "Content-Length": "5000"})
        assert (told.status_code, read) == (413, [])
        # Without a length it is counted while it comes.
        assert visit.ask("POST", path, content=counted(), headers=headers).status_code == 413
        assert sum(read) <= 1200
        for length in ("-1", "9" * 30, "1e3", "12 "):
            answer = visit.ask("POST", path, content=b"{}", headers={**headers, "Content-Length": length})
            assert answer.status_code in {413, 422}


def test_a_body_that_does_not_come_is_given_up() -> None:
    app = create_app(settings(limits=Limits(body_seconds=0.1)))

    async def slow() -> AsyncIterator[bytes]:
        yield b"{"
        await asyncio.sleep(2)
        yield b"}"

    with at(app) as visit:
        headers = {"X-CSRF-Token": visit.token(), "Content-Type": "application/json"}
        assert visit.ask("POST", "/api/answers", content=slow(), headers=headers).status_code == 408


@pytest.mark.parametrize("first", [b"", b"GET / HTTP/1.1\r\nHost: localhost\r\n"])
def test_a_head_that_comes_drop_by_drop_is_given_up(bench: str, first: bytes) -> None:
    port, begun = int(bench.rpartition(":")[2]), time.monotonic()
    with socket.create_connection(("127.0.0.1", port), timeout=0.3) as slow:
        slow.sendall(first)
        while time.monotonic() - begun < 12:
            try:
                if not slow.recv(100):
                    break
            except TimeoutError:
                slow.sendall(b"X-Drop: 1\r\n" if first else b"")
            except OSError:
                break
    # The bench of the tests gives a head one second.
    assert time.monotonic() - begun < 10


def test_json_that_is_nested_without_end_is_a_problem_and_no_failure(alone: Any) -> None:
    deep = b'{"text": ' + b"[" * 200_000 + b"]" * 200_000 + b"}"
    with at(alone) as visit:
        headers = {"X-CSRF-Token": visit.token(), "Content-Type": "application/json"}
        assert visit.ask("POST", "/api/answers", content=deep, headers=headers).status_code in {400, 422}


# --- what is sent out -------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ["/", "/api/session", "/nothing", "/static/x/bench.css", "/sign-in"])
def test_every_answer_has_the_headers_of_a_closed_page(shared: Any, path: str) -> None:
    with at(shared) as visit:
        found = visit.ask("GET", path, headers={"Accept": "text/html"}).headers
        policy = found["content-security-policy"]
        assert "default-src 'self'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert found["x-content-type-options"] == "nosniff"
        assert found["x-frame-options"] == "DENY"
        assert found["referrer-policy"] == "same-origin"
        assert found["cross-origin-resource-policy"] == "same-origin"


def test_a_failure_of_ours_is_told_without_a_word_of_how(caplog: pytest.LogCaptureFixture) -> None:
    app = create_app(settings())

    async def failing() -> None:
        raise ZeroDivisionError("the secret of the house")

    app.router.routes.insert(0, APIRoute("/api/failing", failing))
    app.router.routes.insert(0, APIRoute("/failing", failing))
    with at(app) as visit:
        found = visit.ask("GET", "/api/failing")
        assert (found.status_code, found.headers["content-type"]) == (500, "application/problem+json")
        page = visit.ask("GET", "/failing", headers={"Accept": "text/html"})
        assert page.headers["content-type"].startswith("text/html")
        for told in (found, page):
            assert "secret" not in told.text
            assert "Traceback" not in told.text
            assert "content-security-policy" in told.headers
    assert "the secret of the house" in caplog.text


def test_what_a_request_says_of_itself_is_never_markup(alone: Any) -> None:
    with at(alone) as visit:
        found = visit.ask("GET", "/<script>alert(1)</script>", headers={"Accept": "text/html"})
        assert found.status_code == 404
        assert "<script" not in found.text.replace('<script type="module"', "")


@pytest.mark.parametrize(
    "name",
    [
        "../app.py",
        "..%2fapp.py",
        "%2e%2e/app.py",
        "....//app.py",
        "/etc/passwd",
        "bench.css%00.py",
        "..\\app.py",
        ".",
    ],
)
def test_no_name_leads_out_of_the_pages_own_files(alone: Any, name: str) -> None:
    with at(alone) as visit:
        assert visit.ask("GET", f"/static/x/{name}").status_code == 404


def test_own_files_are_kept_for_ever_under_an_address_that_changes_with_them(alone: Any) -> None:
    with at(alone) as visit:
        address = alone.state.statics.address("bench.css")
        found = visit.ask("GET", address)
        assert "immutable" in found.headers["cache-control"]
        old = visit.ask("GET", "/static/old/bench.css")
        assert old.headers["cache-control"] == "no-cache"
        again = visit.ask("GET", "/static/old/bench.css", headers={"If-None-Match": found.headers["etag"]})
        assert again.status_code == 304


def test_pages_of_the_framework_that_load_from_outside_are_off(alone: Any) -> None:
    with at(alone) as visit:
        for path in ("/docs", "/redoc", "/openapi.json", "/docs/oauth2-redirect"):
            assert visit.ask("GET", path).status_code == 404


def test_a_job_that_is_no_name_of_a_job_is_never_looked_for(alone: Any) -> None:
    with at(alone) as visit:
        for name in ("%2e%2e", "'; drop table job --", "a" * 41, "A", "%00"):
            assert visit.ask("GET", f"/api/jobs/{name}").status_code in {404, 422}


def test_a_text_never_becomes_a_template() -> None:
    odd = LAMP.replace("Work light on the trailer", "'{{ 7 * 7 }}{% raw %}<b>'")
    found = tasks.answer_html(tasks.Asked(text=odd), Look())
    assert "49" not in found.replace("{{ 7 * 7 }}", "").split("work light")[0]
    assert "<b>" not in found
