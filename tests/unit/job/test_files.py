"""Files: the job file itself, what lies beside it, and a new one."""

import os
from pathlib import Path

import pytest

from groundstrap.errors import CallError, CannotDoError, JobError
from groundstrap.job import NewJob, new_job_text, read_job, read_job_file, write_atomically
from groundstrap.job.schema import (
    CABLE_KEYS,
    CIRCUIT_KEYS,
    GEAR_KEYS,
    LOAD_KEYS,
    PART_WORDS,
    SUPPLY_KEYS,
    TOP_KEYS,
)
from tests.support.jobs import changed


def test_writes_whole_and_keeps_permissions(tmp_path: Path) -> None:
    path = tmp_path / "van.job.yaml"
    path.write_text("old", encoding="utf-8")
    path.chmod(0o640)
    write_atomically(path, "new\r\nlines\n")
    assert path.read_bytes() == b"new\r\nlines\n"
    assert path.stat().st_mode & 0o777 == 0o640
    assert [entry.name for entry in tmp_path.iterdir()] == ["van.job.yaml"]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    target = tmp_path / "real.yaml"
    target.write_text("old", encoding="utf-8")
    link = tmp_path / "link.yaml"
    link.symlink_to(target)
    write_atomically(link, "new")
    assert link.is_symlink()
    assert target.read_text(encoding="utf-8") == "new"


def test_the_old_file_is_whole_when_writing_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "van.job.yaml"
    path.write_text("old", encoding="utf-8")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotDoError, match="no space left"):
        write_atomically(path, "new")
    assert path.read_text(encoding="utf-8") == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["van.job.yaml"]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(CannotDoError):
        write_atomically(tmp_path / "none" / "van.yaml", "x")
    with pytest.raises(CallError):
        read_job_file(tmp_path / "none.yaml")


STOCK = """\
kind,size,rating,family,insulation,material,colour,price
wire,6 mm2,,,105 degC,tinned copper,red,2.40
wire,10 AWG,,,,,,
fuse,,15 A,mini blade,,,,0.35
"""


def test_stock_beside_the_job(tmp_path: Path) -> None:
    (tmp_path / "shelf.csv").write_text(STOCK, encoding="utf-8")
    path = tmp_path / "bench.job.yaml"
    path.write_text(changed(("title: Bench", "title: Bench\nstock: shelf.csv")), encoding="utf-8")
    stock = read_job_file(path).installation.stock
    assert stock is not None
    wire, gauge, fuse = stock.items
    assert wire.size is not None
    assert (wire.size.area_mm2, wire.insulation, wire.material, wire.price) == (
        6.0,
        "105 degC",
        "tinned copper",
        2.4,
    )
    assert (gauge.price, gauge.colour) == (None, None)
    assert (fuse.kind, fuse.rating_a, fuse.family, fuse.price) == ("fuse", 15.0, "mini blade", 0.35)


SHOP = """\
kind,size,rating,family,item,part,pack,reel,price
wire,6 mm2,,,,W-6-R,,25 m,1.10
fuse,,15 A,mini blade,,F15,10,,0.35
other,,,,"ring terminal M8, 16 mm2",R16-8,25,,
"""


def test_the_shop_has_numbers_packs_and_reels(tmp_path: Path) -> None:
    (tmp_path / "shelf.csv").write_text(SHOP, encoding="utf-8")
    stock = read_job(
        changed(("title: Bench", "title: Bench\nstock: shelf.csv")), folder=tmp_path
    ).installation.stock
    assert stock is not None
    assert [(each.part, each.pack, each.reel_m) for each in stock.items] == [
        ("W-6-R", None, 25.0),
        ("F15", 10, None),
        ("R16-8", 25, None),
    ]
    assert stock.items[2].item == "ring terminal M8, 16 mm2"


@pytest.mark.parametrize(
    ("row", "key"),
    [
        ("wire,6 mm2,,,,,,25,", "reel"),
        ("wire,6 mm2,,,,,,0 m,", "reel"),
        ("fuse,,15 A,mini blade,,,2.5,,", "pack"),
        ("fuse,,15 A,mini blade,,,0,,", "pack"),
        ("other,,,,,R16-8,,,", "item"),
    ],
)
def test_a_pack_or_reel_that_is_none_is_a_fault(tmp_path: Path, row: str, key: str) -> None:
    (tmp_path / "shelf.csv").write_text(SHOP + row + "\n", encoding="utf-8")
    with pytest.raises(JobError) as caught:
        read_job(changed(("title: Bench", "title: Bench\nstock: shelf.csv")), folder=tmp_path)
    assert [(fault.line, fault.key) for fault in caught.value.faults] == [(5, key)]


def test_faults_in_the_stock_have_their_line(tmp_path: Path) -> None:
    (tmp_path / "shelf.csv").write_text(
        STOCK + 'wire,6 mm,,,,,,\nfuze,,,,,,,\nfuse,,"15,5 A",,,,,1\nwire,6 mm2,,,,brass,,x\n',
        encoding="utf-8",
    )
    with pytest.raises(JobError) as caught:
        read_job(changed(("title: Bench", "title: Bench\nstock: shelf.csv")), folder=tmp_path)
    told = [(fault.file, fault.line, fault.key, fault.found) for fault in caught.value.faults]
    assert told == [
        ("shelf.csv", 5, "size", "6 mm"),
        ("shelf.csv", 6, "kind", "fuze"),
        ("shelf.csv", 7, "rating", "15,5 A"),
        ("shelf.csv", 8, "material", "brass"),
        ("shelf.csv", 8, "price", "x"),
    ]


@pytest.mark.parametrize("name", ["none.csv", "../shelf.csv", "/etc/hostname", "."])
def test_files_elsewhere_are_not_read(tmp_path: Path, name: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed(("title: Bench", f"title: Bench\nstock: {name}")), folder=tmp_path)
    assert [fault.key for fault in caught.value.faults] == ["stock"]


def test_a_makers_curve_beside_the_job(tmp_path: Path) -> None:
    (tmp_path / "strip.csv").write_text(
        "current,fastest,slowest\n80 A,30 s,600 s\n120 A,2 s,15 s\n360 A,40 ms,0.1 s\n", encoding="utf-8"
    )
    text = changed(("[battery, fuse, lamp]", "[battery, {fuse: 60 A, curve: strip.csv}, lamp]"))
    installation = read_job(text, folder=tmp_path).installation
    assert installation.circuits["lamp"].parts[0].curve == "strip.csv"
    points = installation.curves["strip.csv"].points
    assert [(p.current_a, p.fastest_s, p.slowest_s) for p in points] == [
        (80, 30, 600),
        (120, 2, 15),
        (360, 0.04, 0.1),
    ]
    (tmp_path / "strip.csv").write_text("current,slowest\n120 A,1 s\n80 A,2 s\n", encoding="utf-8")
    with pytest.raises(JobError, match="no curve"):
        read_job(text, folder=tmp_path)


def test_new_job_reads_and_quotes_what_needs_it() -> None:
    text = new_job_text(NewJob(
        title="Baker's van: #2", load="warmer", kind="heater", claim="20 A", length="5 m", load_at="boot",
        return_to="chassis", battery_at="engine bay",
    ))  # fmt: skip
    job = read_job(text)
    assert job.installation.title == "Baker's van: #2"
    assert job.installation.loads["warmer"].claims[0].current_a == 20.0
    assert job.installation.circuits["warmer"].back_end == "chassis at boot"


def test_new_job_with_answers_that_can_not_be_is_refused() -> None:
    with pytest.raises(JobError):
        new_job_text(NewJob(title="x", load="warmer", claim="20", length="5 m"))


def test_every_key_is_in_the_reference_page(repository: Path) -> None:
    page = (repository / "docs" / "job-file.md").read_text(encoding="utf-8")
    tables = (CABLE_KEYS, CIRCUIT_KEYS, GEAR_KEYS, LOAD_KEYS, SUPPLY_KEYS)
    keys = {key for table in tables for key in table} | set(TOP_KEYS) | set(PART_WORDS)
    missing = sorted(key for key in keys if f"`{key}`" not in page and f".{key}`" not in page)
    # `with` and the like stand in the page as keys of an example
    assert [key for key in missing if f"{key}:" not in page] == []
