"""On the page a person writes as they speak: fields take it, and faults name the field."""

from __future__ import annotations

import re

import httpx

WATER = """groundstrap: 1
title: Water
system: 12 V
supplies:
  battery: {kind: battery, at: engine bay}
loads:
  water pump: {kind: pump}
circuits:
  water pump: {path: [battery, fuse, water pump], length: 2 m}
"""
PUMP = ["loads", "water pump"]


def put(api: httpx.Client, *edits: dict[str, object], language: str = "en") -> httpx.Response:
    return api.post("/api/edits", json={"text": WATER, "edits": list(edits), "language": language})


def test_a_sentence_is_taken_and_said_back(api: httpx.Client) -> None:
    told = put(api, {"path": [*PUMP, "claims"], "value": "8 A"}).json()
    assert "claims: {current: 8 A}" in told["text"]
    assert [each.replace("\xa0", " ") for each in told["said"]] == ["Its label says 8 A: 96 W at 12 V."]


def test_what_was_typed_in_braces_means_what_the_file_means(api: httpx.Client) -> None:
    value = {"kind": "pump", "claims": "{power: 60 W, by: label}", "measured": "5.4 A at 12.4 V"}
    told = put(api, {"path": ["loads", "second"], "value": value, "do": "add", "typed": True}).json()
    assert "claims: {power: 60 W, by: label}, measured: {current: 5.4 A, voltage: 12.4 V}" in told["text"]


def test_a_fault_names_the_field_and_what_would_do(api: httpx.Client) -> None:
    answer = put(api, {"path": [*PUMP, "claims"], "value": "much"})
    assert answer.status_code == 422
    told = answer.json()
    said = "Water pump, what is claimed: 'much' is not understood. Such as 60 W at 12 V, label."
    assert told["faults"][0]["said"] == told["detail"] == said


def test_the_faults_of_a_text_say_no_path_of_keys(api: httpx.Client) -> None:
    bad = WATER.replace("{kind: pump}", "{kind: pump, claims: 8 A}").replace("2 m", "2,5 m")
    part = api.post("/api/answers", json={"text": bad}, headers={"Accept": "text/html"})
    assert part.status_code == 422
    words = re.sub(r"<[^>]+>|&#39;", "", part.text).replace("\xa0", " ")
    assert "Water pump, what is claimed: 8 A is not understood. Such as 60 W at 12 V, label." in words
    assert "loads.water pump" not in words
    assert ":7:" not in words
    form = api.post(
        "/api/forms", json={"text": bad, "only": "e-loads-water-pump"}, headers={"Accept": "text/html"}
    )
    assert "what is claimed: &#39;8 A&#39; is not understood" in form.text.replace("\xa0", " ")


def test_adding_asks_what_a_person_can_answer(api: httpx.Client) -> None:
    form = api.post("/api/forms", json={"text": WATER}, headers={"Accept": "text/html"}).text
    for key in ("from", "to", "length", "claims", "measured"):
        assert f'data-part-key="{key}"' in form
    circuit = form.partition('id="new-circuits"')[2].partition("</form>")[0]
    assert '<option value="battery">battery</option>' in circuit
    assert 'list="n-end"' in circuit
    place = form.partition('id="new-places"')[2].partition("</form>")[0]
    assert "<option>engine bay</option>" in place


def test_without_a_script_a_new_circuit_gets_its_path_and_makes_no_fault(api: httpx.Client) -> None:
    job = api.post("/api/jobs", json={"text": WATER}).json()["job_id"]
    lamp = {"claims": "55 W at 12 V, label", "measured": "4.1 A at 12.6 V", "at": "roof"}
    way = {"from": "battery", "to": "work lamp", "length": "4 m"}
    for base, path, parts in ((1, "loads", lamp), (2, "circuits", way)):
        form = {f"part {key}": value for key, value in parts.items()}
        form |= {"csrf": api.headers["X-CSRF-Token"], "based_on": str(base), f'key ["{path}"]': "work lamp"}
        form["do"] = f'{{"do": "entry", "path": ["{path}"]}}'
        assert api.post(f"/jobs/{job}/edit", data=form).status_code == 303
    text = api.get(f"/api/jobs/{job}/revisions/3").json()["text"]
    assert "work lamp: {kind: lamp, claims: {power: 55 W, voltage: 12 V, by: label}," in text
    assert "work lamp: {path: [battery, fuse, work lamp], length: 4 m}" in text
    assert api.post("/api/answers", json={"text": text}).status_code == 200


def test_without_a_script_a_fault_is_said_in_words_too(api: httpx.Client) -> None:
    job = api.post("/api/jobs", json={"text": WATER}).json()["job_id"]
    form = {
        "csrf": api.headers["X-CSRF-Token"], "based_on": "1", 'key ["loads", "water pump"]': "inrush",
        'new ["loads", "water pump"]': "a lot", "do": '{"do": "fact", "path": ["loads", "water pump"]}',
    }  # fmt: skip
    answer = api.post(f"/jobs/{job}/edit", data=form)
    assert answer.status_code == 422
    assert "at switch-on: &#39;a lot&#39; is not understood. Such as 30 A for 40 ms." in answer.text


def stocked(api: httpx.Client, job: str, **form: str) -> httpx.Response:
    return api.post(f"/jobs/{job}/stock", data={"csrf": api.headers["X-CSRF-Token"], **form})


def test_the_list_of_the_stock_says_what_it_restricts_and_goes_with_its_last_row(api: httpx.Client) -> None:
    text = WATER.replace("{kind: pump}", "{kind: pump, claims: {current: 8 A}}")
    job = api.post("/api/jobs", json={"text": text}).json()["job_id"]
    asked_back = stocked(api, job, typed="some red cable")
    assert asked_back.status_code == 422
    assert "the size as printed on the wire" in asked_back.text
    assert stocked(api, job, typed="4 AWG red 10 m").status_code == 303
    page = api.get(f"/jobs/{job}/stock").text.replace("\xa0", " ")
    assert (
        "Only these sizes of wire are on the list of the stock: 4 AWG; 2 cables were chosen from it." in page
    )
    answer = api.get(f"/jobs/{job}/answer").text.replace("\xa0", " ")
    assert "Only these sizes of wire are on the list of the stock: 4 AWG" in answer
    assert stocked(api, job, usual="1").status_code == 303
    files = api.get(f"/api/jobs/{job}/revisions/3").json()["files"]
    assert files["stock.csv"].count("\nwire,") > 10
    for row in reversed(range(files["stock.csv"].count("\n") - 1)):
        stocked(api, job, row=str(row))
    newest = api.get(f"/api/jobs/{job}").json()["revision"]
    assert "stock" not in newest["text"]
    assert not newest["files"]
    assert newest["note"].endswith("taken off the list")
