"""Each route of the API, as a program uses it."""

from __future__ import annotations

import io
import json
import time
import zipfile
from typing import Any

import httpx
import pytest
from PIL import Image

from groundstrap import api as front_door
from groundstrap.shelf import pictures
from groundstrap.web.problems import TITLES
from tests.support.bench import LAMP, PICKUP


def kept(api: httpx.Client, text: str = LAMP, who: str = "Ada") -> str:
    made = api.post("/api/jobs", json={"text": text, "who": who, "note": "begun"})
    assert made.status_code == 201
    return str(made.json()["job_id"])


def picture(form: str = "JPEG", size: tuple[int, int] = (640, 400), **how: Any) -> bytes:
    into = io.BytesIO()
    Image.new("RGB", size, "teal").save(into, form, **how)
    return into.getvalue()


def problem(answer: httpx.Response, status: int, kind: str) -> dict[str, Any]:
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    told: dict[str, Any] = answer.json()
    assert (told["status"], told["title"]) == (status, TITLES[status])
    assert told["type"] == f"/api/problems#{kind}"
    assert told["detail"]
    assert told["next_step"]
    return told


def test_an_answer_is_the_plan_as_the_command_line_gives_it(api: httpx.Client) -> None:
    found = api.post("/api/answers", json={"text": PICKUP})
    assert found.status_code == 200
    assert found.text == front_door.plan_json(front_door.plan(front_door.read_job(PICKUP)))


def test_an_answer_is_a_part_of_a_page_where_that_is_asked_for(api: httpx.Client) -> None:
    found = api.post("/api/answers", json={"text": LAMP}, headers={"Accept": "text/html"})
    assert found.headers["content-type"].startswith("text/html")
    assert "work light" in found.text


def test_faults_come_with_their_lines(api: httpx.Client) -> None:
    told = problem(api.post("/api/answers", json={"text": LAMP.replace("60 W", "60 X")}), 422, "faults")
    assert (told["faults"][0]["line"], told["faults"][0]["column"]) == (5, 32)
    as_part = api.post("/api/answers", json={"text": "x"}, headers={"Accept": "text/html"})
    assert as_part.status_code == 422
    assert as_part.headers["content-type"].startswith("text/html")


def test_files_beside_a_job_come_with_it_and_none_is_read_from_disk(api: httpx.Client) -> None:
    text = LAMP + "stock: stock.csv\n"
    stock = "kind,size,length\nwire,2.5 mm2,20 m\n"
    assert (
        problem(api.post("/api/answers", json={"text": text}), 422, "faults")["faults"][0]["key"] == "stock"
    )
    with_it = api.post("/api/answers", json={"text": text, "files": {"stock.csv": stock}})
    # Whatever the stock's header is found to lack, the file itself was read.
    assert with_it.status_code == 200 or "there is no folder" not in with_it.text
    for name in ("/etc/passwd", "../stock.csv", "..\\stock.csv"):
        away = LAMP + f"stock: '{name}'\n"
        told = problem(api.post("/api/answers", json={"text": away, "files": {"a.csv": "x"}}), 422, "faults")
        assert told["faults"][0]["reason"] == "a file elsewhere is not read"


def test_edits_keep_comments(api: httpx.Client) -> None:
    edit = {"path": ["loads", "work light", "claims", "power"], "value": "80 W"}
    found = api.post("/api/edits", json={"text": LAMP, "edits": [edit]})
    assert found.json()["text"] == LAMP.replace("60 W", "80 W")
    gone = api.post("/api/edits", json={"text": LAMP, "edits": [{"path": ["title"], "value": None}]})
    assert "title" not in gone.json()["text"]


def test_an_edit_that_is_refused_says_what_would_do(api: httpx.Client) -> None:
    edit = {"path": ["loads", "work light", "claims", "power"], "value": "much"}
    told = problem(api.post("/api/edits", json={"text": LAMP, "edits": [edit]}), 422, "faults")
    assert told["faults"][0]["wanted"]


def test_a_form_describes_every_section(api: httpx.Client) -> None:
    found = api.post("/api/forms", json={"text": LAMP}).json()
    assert [each["path"] for each in found["sections"]][:2] == [["groundstrap"], ["title"]]
    assert found["addable"]


def test_drawings_curves_and_pins(api: httpx.Client) -> None:
    compact = api.post("/api/drawings", json={"text": LAMP, "compact": True}).json()["drawings"]
    assert all(svg.startswith("<svg") for svg in compact.values())
    assert api.post("/api/curves", json={"text": LAMP}).json()["drawings"]
    pinned = api.post("/api/pins", json={"text": LAMP}).json()
    assert "fuse" in pinned["text"]


def test_one_circuit_and_one_load(api: httpx.Client) -> None:
    whole = api.post("/api/answers", json={"text": LAMP}).json()
    found = api.post("/api/circuits/work%20light", json={"text": LAMP}).json()
    assert found["circuit"] == whole["circuits"]["work light"]
    assert found["shown"]
    found = api.post("/api/loads/work%20light", json={"text": LAMP}).json()
    assert found["load"] == whole["loads"]["work light"]
    told = problem(api.post("/api/circuits/work%20lihgt", json={"text": LAMP}), 422, "call")
    assert told["faults"][0]["nearest"] == "work light"


def test_what_loads_draw_and_two_jobs_side_by_side(api: httpx.Client) -> None:
    assert api.post("/api/vettings", json={"text": LAMP}).json()["schema"] == "groundstrap.vet/1"
    other = LAMP.replace("7 m", "9 m")
    assert api.post("/api/comparisons", json={"left": LAMP, "right": other}).status_code == 200


def test_look_ups(api: httpx.Client) -> None:
    rules = api.get("/api/rules").json()["rules"]
    assert {each["id"] for each in rules} >= {"PRT001", "EXI003"}
    assert api.get("/api/rules/fuse-above-loop").json()["id"] == "PRT001"
    assert "fuse-above-loop" in problem(api.get("/api/rules/fuse-abov-loop"), 404, "unknown")["next_step"]
    assert api.get("/api/terms").json()["terms"]
    assert "fuse_ratings" in api.get("/api/tables").json()["tables"]
    assert api.get("/api/tables/fuse_ratings").json()["rows"]
    problem(api.get("/api/tables/..%2f..%2fetc"), 404, "http")
    problem(api.get("/api/tables/nothing"), 404, "unknown")


def test_a_job_is_kept_saved_listed_and_brought_back(api: httpx.Client) -> None:
    job = kept(api)
    second = LAMP.replace("60 W", "70 W")
    saved = api.put(f"/api/jobs/{job}", json={"text": second, "based_on": 1, "who": "Bo", "note": "brighter"})
    assert saved.json() == {"job_id": job, "number": 2, "new": True}
    opened = api.get(f"/api/jobs/{job}").json()
    assert (opened["job"]["latest"], opened["revision"]["text"]) == (2, second)
    lines = api.get(f"/api/jobs/{job}/revisions").json()["revisions"]
    assert [(each["number"], each["who"], each["note"]) for each in lines] == [
        (2, "Bo", "brighter"),
        (1, "Ada", "begun"),
    ]
    assert api.get(f"/api/jobs/{job}/revisions/1").json()["text"] == LAMP
    back = api.post(f"/api/jobs/{job}/revisions/1/restore", json={"who": "Bo"})
    assert back.json()["number"] == 3
    assert job in [each["id"] for each in api.get("/api/jobs", params={"search": "trailer"}).json()["jobs"]]
    assert not api.get("/api/jobs", params={"search": "no such words"}).json()["jobs"]


def test_who_saves_second_sees_both_and_merges(api: httpx.Client) -> None:
    job = kept(api)
    mine, theirs = LAMP.replace("60 W", "70 W"), LAMP.replace("7 m", "8 m")
    assert api.put(f"/api/jobs/{job}", json={"text": theirs, "based_on": 1, "who": "Bo"}).status_code == 200
    told = problem(api.put(f"/api/jobs/{job}", json={"text": mine, "based_on": 1}), 409, "clash")
    assert told["theirs"]["text"] == theirs
    assert told["merged"] == mine.replace("7 m", "8 m")
    assert told["clashes"] == []
    again = {"text": told["merged"], "based_on": told["theirs"]["number"]}
    assert api.put(f"/api/jobs/{job}", json=again).json()["number"] == 3


def test_a_value_that_both_changed_is_decided_by_who_saves(api: httpx.Client) -> None:
    job = kept(api)
    api.put(f"/api/jobs/{job}", json={"text": LAMP.replace("60 W", "80 W"), "based_on": 1})
    mine: dict[str, Any] = {"text": LAMP.replace("60 W", "70 W"), "based_on": 1}
    told = problem(api.put(f"/api/jobs/{job}", json=mine), 409, "clash")
    assert told["merged"] is None
    path = told["clashes"][0]["path"]
    assert path == ["loads", "work light", "claims", "power"]
    chosen = {**mine, "choices": [{"path": path, "take": "mine"}]}
    assert "70 W" in api.put(f"/api/jobs/{job}", json=chosen).json()["merged"]


def test_a_removed_job_is_off_the_list_and_can_be_brought_back(api: httpx.Client) -> None:
    job = kept(api)
    assert api.delete(f"/api/jobs/{job}").json()["removed_utc"]
    assert job not in api.get("/api/jobs").text
    assert job in api.get("/api/jobs", params={"removed": True}).text
    api.post(f"/api/jobs/{job}/revisions/1/restore", json={})
    assert job in api.get("/api/jobs").text


def test_what_is_not_there_is_404(api: httpx.Client) -> None:
    job = kept(api)
    for path in (
        "/api/jobs/nobody",
        "/api/jobs/nobody/photos",
        f"/api/jobs/{job}/photos/none",
        "/api/jobs/nobody/export",
    ):
        problem(api.get(path), 404, "call")
    problem(api.get("/api/packs/none"), 404, "no-pack")
    problem(api.get("/api/nothing"), 404, "http")
    problem(api.patch("/api/jobs"), 405, "http")


def test_a_job_goes_out_and_comes_in(api: httpx.Client) -> None:
    job = kept(api)
    api.post(f"/api/jobs/{job}/photos", files={"file": ("a.jpg", picture(), "image/jpeg")})
    out = api.get(f"/api/jobs/{job}/export")
    assert out.headers["content-type"] == "application/zip"
    assert out.headers["content-disposition"].endswith('.zip"')
    alone = api.get(f"/api/jobs/{job}/export", params={"form": "job"})
    assert alone.text == LAMP
    # Named by its title, so that it is found again and the terminal reads it as it is.
    assert job not in out.headers["content-disposition"] + alone.headers["content-disposition"]
    assert alone.headers["content-disposition"].endswith('.job.yaml"')
    back = api.post("/api/jobs/import", files={"file": ("job.zip", out.content, "application/zip")})
    assert back.status_code == 201
    made = back.json()["job"]["id"]
    assert made != job
    assert len(api.get(f"/api/jobs/{made}/photos").json()["photos"]) == 1
    plain = api.post("/api/jobs/import", files={"file": ("lamp.job.yaml", LAMP.encode(), "text/plain")})
    assert plain.json()["job"]["title"] == "Work light on the trailer"


def test_photos_of_an_archive_are_made_anew_by_workers(
    api: httpx.Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def here(_: bytes) -> bytes:
        raise AssertionError("a picture was opened in the server itself")

    monkeypatch.setattr(pictures, "_made_anew", here)
    for content, status in ((picture(), 201), (b"no picture", 422)):
        archive = io.BytesIO()
        with zipfile.ZipFile(archive, "w") as written:
            written.writestr("lamp.job.yaml", LAMP)
            written.writestr("before.jpg", content)
        before = len(api.get("/api/jobs").json()["jobs"])
        found = api.post("/api/jobs/import", files={"file": ("a.zip", archive.getvalue(), "application/zip")})
        assert found.status_code == status
        assert len(api.get("/api/jobs").json()["jobs"]) == before + (status == 201)
    assert "can't be read as a picture" in problem(found, 422, "call")["detail"]


def test_an_archive_that_is_a_bomb_or_leads_elsewhere_is_refused(api: httpx.Client) -> None:
    bomb, away = io.BytesIO(), io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("lamp.job.yaml", LAMP)
        archive.writestr("stock.csv", b"0" * 200_000_000)
    with zipfile.ZipFile(away, "w") as archive:
        archive.writestr("../lamp.job.yaml", LAMP)
    before = len(api.get("/api/jobs").json()["jobs"])
    for name, content in (("bomb", bomb), ("away", away)):
        found = api.post("/api/jobs/import", files={"file": (name, content.getvalue(), "application/zip")})
        assert "nothing of it was taken" in problem(found, 422, "call")["detail"]
    assert len(api.get("/api/jobs").json()["jobs"]) == before


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_made_anew(api: httpx.Client, form: str) -> None:
    job = kept(api)
    exif = Image.Exif()
    exif[0x0110] = "camera of a customer"
    exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)  # where it was taken
    given = picture(form, (3000, 1000), exif=exif.tobytes())
    assert b"camera of a customer" in given
    answer = api.post(
        f"/api/jobs/{job}/photos", files={"file": ("../a.png", given)}, data={"caption": "behind the seat"}
    )
    assert answer.status_code == 201
    made = answer.json()
    assert (made["caption"], made["media_type"]) == ("behind the seat", "image/jpeg")
    found = api.get(f"/api/jobs/{job}/photos/{made['id']}")
    assert found.headers["content-type"] == "image/jpeg"
    with Image.open(io.BytesIO(found.content)) as image:
        assert max(image.size) <= 2000
        assert not image.getexif()
    assert api.delete(f"/api/jobs/{job}/photos/{made['id']}").status_code == 204
    problem(api.get(f"/api/jobs/{job}/photos/{made['id']}"), 404, "call")


def test_a_photo_belongs_to_its_own_job_alone(api: httpx.Client) -> None:
    job, other = kept(api), kept(api)
    made = api.post(f"/api/jobs/{job}/photos", files={"file": ("a.jpg", picture())}).json()
    problem(api.get(f"/api/jobs/{other}/photos/{made['id']}"), 404, "call")
    problem(api.delete(f"/api/jobs/{other}/photos/{made['id']}"), 404, "call")
    # The page's own way of removing goes by the same rule.
    assert api.post(f"/jobs/{other}/photos/{made['id']}/remove").status_code == 404
    assert api.get(f"/api/jobs/{job}/photos/{made['id']}").status_code == 200


@pytest.mark.parametrize(
    "given",
    [b"GIF89a" + b"\0" * 40, b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>", b""],
)
def test_what_is_no_photo_is_refused(api: httpx.Client, given: bytes) -> None:
    job = kept(api)
    problem(api.post(f"/api/jobs/{job}/photos", files={"file": ("a.jpg", given)}), 422, "call")


def test_a_photo_of_too_many_pixels_is_refused(api: httpx.Client) -> None:
    job = kept(api)
    into = io.BytesIO()
    Image.new("1", (12_000, 9_000)).save(into, "PNG")
    told = problem(
        api.post(f"/api/jobs/{job}/photos", files={"file": ("a.png", into.getvalue())}), 422, "call"
    )
    assert "pixels" in told["detail"]


def test_a_pack_is_made_with_its_progress_told(api: httpx.Client) -> None:
    begun = api.post("/api/packs", json={"text": LAMP, "parts": ["fuses", "labels"], "language": "de"})
    assert begun.status_code == 202
    where = begun.headers["location"]
    till = time.monotonic() + 60
    while (told := api.get(where).json())["state"] in {"waiting", "making"}:
        assert time.monotonic() < till
        time.sleep(0.05)
    assert told["state"] == "done"
    assert "fuses.pdf" in told["files"]
    found = api.get(f"{where}/files/fuses.pdf")
    assert found.content.startswith(b"%PDF")
    page = api.get(f"{where}/files/pack.html")
    assert "sandbox" in page.headers["content-security-policy"]
    problem(api.get(f"{where}/files/other.pdf"), 404, "no-file")


def test_a_pack_that_cannot_be_made_says_why(api: httpx.Client) -> None:
    where = api.post("/api/packs", json={"text": LAMP, "parts": ["no such part"]}).headers["location"]
    till = time.monotonic() + 60
    while (told := api.get(where).json())["state"] in {"waiting", "making"}:
        assert time.monotonic() < till
        time.sleep(0.05)
    assert told["state"] == "failed"
    assert told["problem"]["status"] == 422


def test_what_a_request_has_too_much_is_refused(api: httpx.Client) -> None:
    told = problem(api.post("/api/answers", json={"text": LAMP, "texts": ""}), 422, "shape")
    assert told["faults"][0]["key"] == "body.texts"
    problem(
        api.post("/api/answers", content=b"{", headers={"Content-Type": "application/json"}), 422, "shape"
    )
    problem(api.post("/api/answers", json={"text": "a\0b"}), 422, "shape")
    lone = json.dumps({"text": "\ud800"})
    problem(
        api.post("/api/answers", content=lone, headers={"Content-Type": "application/json"}), 422, "shape"
    )


def test_the_name_that_is_saved_under_is_kept(bench: str) -> None:
    with httpx.Client(base_url=bench, trust_env=False) as client:
        client.headers["X-CSRF-Token"] = client.get("/api/session").json()["token"]
        client.put("/api/session", json={"who": "Zoë"})
        assert client.get("/api/session").json()["who"] == "Zoë"
        made = client.post("/api/jobs", json={"text": LAMP})
        assert made.json()["who"] == "Zoë"


def test_a_first_look_is_said_back_and_its_slips_are_caught(api: httpx.Client) -> None:
    typed = {"kind": "light bar", "label": "45W", "distance": "8 m there and back"}
    told = api.post("/api/first-look", json=typed).json()
    assert any("45 W" in each for each in told["said"])
    assert [each["field"] for each in told["slips"]] == ["distance"]
    assert api.post("/api/answers", json={"text": told["text"]}).status_code == 200


def test_a_swap_can_be_taken_back(api: httpx.Client) -> None:
    told = api.post("/api/swaps", json={"text": LAMP, "what": "work light wire", "with": "4 AWG"}).json()
    assert "4 AWG" in told["text"]
    back = api.post("/api/edits", json={"text": told["text"], "edits": told["back"]}).json()["text"]
    assert "4 AWG" not in back
    assert api.post("/api/answers", json={"text": back}).status_code == 200


def test_a_stock_file_is_edited_row_by_row(api: httpx.Client) -> None:
    told = api.post("/api/stock", json={"edits": [{"typed": "4 AWG red 10 m"}]}).json()
    assert told["rows"][0]["cells"]["size"] == "4 AWG"
    gone = api.post("/api/stock", json={"text": told["text"], "edits": [{"row": 0}]}).json()
    assert gone["rows"] == []


def test_an_edit_brings_its_answer_along(api: httpx.Client) -> None:
    edit = {"path": ["loads", "work light", "claims", "power"], "value": "120 W"}
    told = api.post("/api/edits", json={"text": LAMP, "edits": [edit], "answer": True}).json()
    page = api.post("/api/answers", json={"text": told["text"]}, headers={"Accept": "text/html"}).text
    assert (told["status"], told["answer"]) == (200, page)
    assert "120 W" in told["text"]
    # Faults elsewhere in the text stand against the answer, not against the edit.
    faulty = api.post(
        "/api/edits", json={"text": LAMP + "zones: 5\n", "edits": [edit], "answer": True}
    ).json()
    assert (faulty["status"], "120 W" in faulty["text"]) == (422, True)
    assert "zones" in faulty["answer"].lower()
    assert api.post("/api/edits", json={"text": LAMP, "edits": [edit]}).json()["answer"] == ""
