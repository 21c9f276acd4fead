"""American spellings are read like British ones, and stay in the file as they are written."""

from pathlib import Path

from groundstrap.job import pin, read_job
from groundstrap.units import parse_size
from tests.support.jobs import changed, faults

FIBREGLASS = """groundstrap: 1
title: Light in a glass body
system: 12 V
body: {body}
supplies: {{battery: {{kind: battery, at: cabin}}, alternator: none}}
zones: {{bilge: {{ambient: 0..40 degC, vapour: {vapour}}}}}
loads: {{lamp: {{kind: lamp, claims: {{power: 5 W}}}}}}
circuits:
  lamp:
    path: [battery, fuse: 5 A, lamp]
    return: battery -
    length: 3 m
    material: {material}
    {colour}: red
"""
BRITISH = {"body": "fibreglass", "vapour": "petrol", "material": "copper-clad aluminium", "colour": "colour"}
AMERICAN = {"body": "fiberglass", "vapour": "gasoline", "material": "copper-clad aluminum", "colour": "color"}


def test_both_spellings_read_to_the_same_installation() -> None:
    british, american = (read_job(FIBREGLASS.format(**words)).installation for words in (BRITISH, AMERICAN))
    assert american == british


def test_what_is_written_stays_as_it_is_written() -> None:
    text = FIBREGLASS.format(**AMERICAN)
    sizes = dict.fromkeys(("lamp wire 1", "lamp return 1"), parse_size("1 mm2"))
    pinned = pin(read_job(text), sizes, {})
    assert "material: copper-clad aluminum\n    color: red\n" in pinned
    assert "wire: 1 mm2" in pinned


def test_a_key_in_both_spellings_is_refused() -> None:
    text = FIBREGLASS.format(**BRITISH).replace("colour: red", "colour: red\n    color: blue")
    [fault] = faults(text)
    assert fault.reason == "it is written twice"


def test_a_shelf_in_american_spelling(tmp_path: Path) -> None:
    (tmp_path / "shelf.csv").write_text(
        "kind,size,material,color\nwire,4 mm2,copper-clad aluminum,red\n", encoding="utf-8"
    )
    stock = read_job(changed(more="stock: shelf.csv\n"), folder=tmp_path).installation.stock
    assert stock is not None
    assert (stock.items[0].material, stock.items[0].colour) == ("copper-clad aluminium", "red")
