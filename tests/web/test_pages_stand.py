"""Pages withstand whatever a form or an address brings: an answer of theirs, never a failure of ours."""

from __future__ import annotations

from collections.abc import Iterator

import httpx
import pytest

from groundstrap.web import Settings, create_app
from tests.support.bench import LAMP, every_route

ROUTES = sorted(
    (method, path)
    for method, path, told in every_route(create_app(Settings(secret=bytes(32), shelf="sqlite://")).routes)
    if not told and method in {"GET", "POST"} and not path.startswith("/static/")
)
ODD = ("", "é\u202e<b>'\"{{7*7}}", "-1", "99999999999999999999", "../../etc/passwd", "[", "null", "a" * 900)
_NAMES = """
text based_on note who back language units theme do path value add before number since parts paper meter
caption choice left right kind label measured distance fed_from circuit with what revision search vehicle
after open name edits set remove move rename merged take theirs row variant
about symptom meter unit where when using skipped o_value o_red o_through o_using sheet forget even_so mended
"""
FIELDS = (*_NAMES.split(), "f [", 'f ["title"]', "f 1", "choice [", 'choice {"a": 1}', "new null", "part x")
EVIL = "<script>alert(1)</script><img src=x onerror=alert(1)>"
EVIL_JOB = LAMP.replace("Work light on the trailer", f"'{EVIL}'").replace("work light", f"'{EVIL}'")


@pytest.fixture(scope="module")
def job(api: httpx.Client) -> str:
    return str(api.post("/api/jobs", json={"text": LAMP}).json()["job_id"])


def _paths(path: str, job: str) -> Iterator[str]:
    """The address with the real job in it, and with odd names."""
    good = {
        "job_id": job,
        "number": "1",
        "photo_id": "x2",
        "name": "work light",
        "pack_id": "p",
        "label": "work light",
    }
    yield path.format_map(_Default(good))
    yield path.format_map(_Default({**good, "name": "no such", "number": "7", "label": "x"}))
    yield path.format_map(_Default({"number": "x"}, "%00é"))


class _Default(dict[str, str]):
    def __init__(self, values: dict[str, str], other: str = "1") -> None:
        super().__init__(values)
        self.other = other

    def __missing__(self, key: str) -> str:
        return self.other


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_a_page_stands_whatever_comes(api: httpx.Client, job: str, method: str, path: str) -> None:
    token = api.headers["X-CSRF-Token"]
    for address in _paths(path, job):
        for odd in ODD:
            fields = dict.fromkeys(FIELDS, odd)
            if method == "GET":
                found = api.get(address, params=fields, headers={"Accept": "text/html"})
            else:
                found = api.post(address, data={"csrf": token, **fields}, headers={"Accept": "text/html"})
            assert found.status_code < 500, (address, odd, found.text[:500])
            assert "<b>'" not in found.text
            assert found.headers.get("location", "/").startswith("/")
            assert not found.headers.get("location", "/").startswith("//")


def test_a_raised_number_is_no_number(api: httpx.Client, job: str) -> None:
    """What Python takes for a digit and for no number: a small raised two, in an address and in a header."""
    assert api.get(f"/jobs/{job}/history?number=²").status_code == 200
    answer = api.post("/api/answers", json={"text": LAMP}, headers={b"Accept": b"text/html;q=\xb2"})
    assert answer.status_code == 200


def test_what_stands_against_a_page_is_said_once_and_in_words(api: httpx.Client) -> None:
    lost = api.get("/jobs/nosuch", headers={"Accept": "text/html"})
    assert (lost.status_code, lost.text.count("an id that the list shows")) == (404, 1)
    assert "openapi" not in api.get("/nosuch", headers={"Accept": "text/html"}).text
    assert "openapi" in api.get("/nosuch", headers={"Accept": "application/json"}).text


def test_what_went_wrong_leads_back(api: httpx.Client, job: str) -> None:
    page, german = {"Accept": "text/html"}, {"Accept": "text/html", "Accept-Language": "de"}
    nowhere = api.get("/nosuch", headers=page).text
    assert 'href="/"' in nowhere.partition("<main")[2]
    assert 'href="/nosuch"' not in nowhere
    told = {"csrf": api.headers["X-CSRF-Token"]}
    bad = api.post(
        f"/jobs/{job}/photos", data=told, files={"file": ("a.jpg", b"none", "image/jpeg")}, headers=page
    )
    assert (bad.status_code, bad.text.count(f'href="/jobs/{job}/photos">Back to where')) == (422, 1)
    assert "There is no such thing here" not in api.get("/nosuch", headers=german).text
    # Told by what lies below the framework, where nobody is known yet.
    elsewhere = api.get("/", headers={**german, "Host": "elsewhere.example"})
    assert (elsewhere.status_code, elsewhere.text.count('lang="de"')) == (421, 1)
    assert "another host" not in elsewhere.text


def test_a_job_taken_off_the_shelf_is_brought_back_or_erased(api: httpx.Client) -> None:
    page, told = {"Accept": "text/html"}, {"csrf": api.headers["X-CSRF-Token"]}
    made = api.post("/api/jobs", json={"text": LAMP.replace("trailer", "cart")}).json()["job_id"]

    def listed(address: str) -> bool:
        return made in api.get(address, headers=page).text.partition("<main")[2]

    def press(address: str, **given: str) -> httpx.Response:
        return api.post(address, data={**told, **given}, headers=page)

    assert press(f"/jobs/{made}/remove").headers["location"] == "/removed"
    assert (listed("/"), listed("/removed")) == (False, True)
    assert press(f"/removed/{made}/bring-back", number="1").headers["location"].startswith(f"/jobs/{made}")
    assert (listed("/"), listed("/removed")) == (True, False)
    # One that stands on the shelf is not erased, whoever asks.
    assert press(f"/removed/{made}/erase", sure="yes").status_code == 422
    press(f"/jobs/{made}/remove")
    asked = press(f"/removed/{made}/erase")
    assert asked.status_code == 422
    assert "tick the box" in asked.text
    assert listed("/removed")
    assert press(f"/removed/{made}/erase", sure="yes").status_code == 303
    assert not listed("/removed")
    assert api.get(f"/api/jobs/{made}").status_code == 404


def test_what_a_job_says_is_never_markup(api: httpx.Client) -> None:
    made = api.post("/api/jobs", json={"text": EVIL_JOB, "who": EVIL[:80], "note": EVIL}).json()
    changed = {"text": EVIL_JOB.replace("7 m", "8 m"), "based_on": 1, "note": EVIL, "who": EVIL[:80]}
    assert api.put(f"/api/jobs/{made['job_id']}", json=changed).status_code == 200
    seen = 0
    for method, path in ROUTES:
        if method == "GET" and not path.startswith("/api/"):
            address = path.format_map(_Default({"job_id": made["job_id"], "name": EVIL, "number": "1"}))
            found = api.get(address, headers={"Accept": "text/html"})
            assert found.status_code < 500, address
            assert "<script>alert" not in found.text, address
            assert "<img src=x" not in found.text, address
            seen += "&lt;script&gt;alert" in found.text
    for name in ("answers", "drawings", "forms", f"circuits/{EVIL}", f"loads/{EVIL}"):
        found = api.post(f"/api/{name}", json={"text": EVIL_JOB}, headers={"Accept": "text/html"})
        assert "<script>alert" not in found.text, name
        assert "<img src=x" not in found.text, name
        seen += "&lt;script&gt;alert" in found.text
    assert seen > 8


def test_rules_are_told_in_the_language_of_the_page(api: httpx.Client) -> None:
    german = {"Accept": "text/html", "Accept-Language": "de"}
    told = api.get("/rules", headers=german).text.partition("<main")[2]
    assert told.count('<span lang="en">') == 0
    assert "Kurzschluss" in told
    rule = api.get("/rules/PRT001", headers=german).text
    assert "<h2>Warum</h2>" in rule
    # What nobody has translated yet is marked as what it is.
    assert "What it looks at" not in rule
    assert "Why" not in rule
