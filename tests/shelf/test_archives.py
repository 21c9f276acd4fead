"""A job in and out of a shelf as one archive; an archive that is made to do harm is refused as a whole."""

from __future__ import annotations

import contextlib
import io
import json
import stat
import struct
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from groundstrap.errors import CallError, GroundstrapError
from groundstrap.job import read_job_file
from groundstrap.shelf import Shelf, clean_photo, export_job, import_job, open_shelf

STOCK = "kind,size,colour\nwire,1.5 mm2,red\n"
TEXT = """\
groundstrap: 1
title: Bed light
system: 12 V
stock: stock.csv
loads: {light: {claims: {power: 5 W}}}  # by the bed
circuits: {light: {length: 3 m}}
"""


def picture(kind: str = "JPEG", size: tuple[int, int] = (40, 30)) -> bytes:
    made = io.BytesIO()
    Image.new("RGB", size, "red").save(made, kind)
    return made.getvalue()


def exported(shelf: Shelf, job_id: str) -> bytes:
    into = io.BytesIO()
    export_job(shelf, job_id, into)
    return into.getvalue()


def zipped(members: dict[str, str | bytes], *, method: int = zipfile.ZIP_DEFLATED) -> bytes:
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w", method) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return into.getvalue()


@pytest.fixture
def one(sqlite_url: str) -> Iterator[Shelf]:
    """A shelf on SQLite: what an archive does is the same on both."""
    with open_shelf(sqlite_url) as opened:
        yield opened


def filled(shelf: Shelf) -> str:
    job_id = shelf.new(TEXT, "Ada", "first", {"stock.csv": STOCK}).job_id
    shelf.save(job_id, TEXT.replace("5 W", "6 W"), 1, "Bob", "more light")
    shelf.restore(job_id, 1, "Ada")
    shelf.add_photo(job_id, clean_photo(picture()), "fuse box", "Bob")
    return job_id


def test_what_goes_out_comes_in_again_as_a_new_job(shelf: Shelf) -> None:
    job_id = filled(shelf)
    data = exported(shelf, job_id)
    found = import_job(shelf, io.BytesIO(data), "Cleo")
    assert found.job.id != job_id
    assert found.left_out == ()
    assert (found.job.latest, found.job.title) == (3, "Bed light")
    for number in (1, 2, 3):
        old, new = shelf.revision(job_id, number), shelf.revision(found.job.id, number)
        for name in ("text", "files", "who", "when_utc", "note", "fingerprint", "based_on", "restored_from"):
            assert getattr(old, name) == getattr(new, name)
    (old_photo,), (new_photo,) = shelf.photos(job_id), shelf.photos(found.job.id)
    assert (new_photo.caption, new_photo.who, new_photo.when_utc) == ("fuse box", "Bob", old_photo.when_utc)
    assert exported(shelf, job_id) == data
    assert [job.id for job in shelf.jobs("bed light")] == [found.job.id, job_id]


def test_an_unpacked_archive_can_be_planned(one: Shelf, tmp_path: Path) -> None:
    with zipfile.ZipFile(io.BytesIO(exported(one, filled(one)))) as archive:
        archive.extractall(tmp_path / "out")
    job = read_job_file(tmp_path / "out" / "bed-light.job.yaml")
    assert job.installation.stock is not None


def test_a_job_file_is_taken_in(one: Shelf) -> None:
    found = import_job(one, io.BytesIO(TEXT.encode()), "Ada", "from paper")
    assert one.revision(found.job.id).note == "from paper"
    with pytest.raises(GroundstrapError, match="UTF-8"):
        import_job(one, io.BytesIO(b"title: \xff"), "Ada")


def test_an_archive_of_a_folder_is_taken_in_and_says_what_it_leaves_out(one: Shelf) -> None:
    data = zipped(
        {"van/van.job.yaml": TEXT, "van/stock.csv": STOCK, "van/box.jpg": picture(), "van/notes.txt": "x",
         "__MACOSX/._van": "x", ".DS_Store": "x"}
    )  # fmt: skip
    found = import_job(one, io.BytesIO(data), "Ada")
    assert dict(one.revision(found.job.id).files) == {"stock.csv": STOCK}
    assert [photo.caption for photo in one.photos(found.job.id)] == ["box"]
    assert found.left_out == ("van/notes.txt", "__MACOSX/._van", ".DS_Store")


def test_what_a_machine_packs_beside_ones_own_files_is_left_out(one: Shelf) -> None:
    own = {"van/van.job.yaml": TEXT, "van/stock.csv": STOCK, "van/lamp.jpg": picture()}
    beside = {
        "__extra/van/._van.job.yaml": b"\0\5",
        "__extra/van/._lamp.jpg": b"\0",
        "van/._stock.csv": b"\0",
    }
    found = import_job(one, io.BytesIO(zipped({**beside, **own})), "Ada")
    assert one.revision(found.job.id).text == TEXT
    assert [photo.caption for photo in one.photos(found.job.id)] == ["lamp"]
    assert set(found.left_out) == set(beside)


def test_a_file_with_the_name_of_the_index_comes_in_again(one: Shelf) -> None:
    text = TEXT.replace("stock.csv", "shelf.json")
    kept = one.new(text, "Ada", files={"shelf.json": STOCK})
    found = import_job(one, io.BytesIO(exported(one, kept.job_id)), "Ada")
    assert dict(one.revision(found.job.id).files) == {"shelf.json": STOCK}


def test_an_archive_of_very_many_files_is_taken_in(one: Shelf) -> None:
    members = {f"notes/{number:05d}.txt": "" for number in range(11_000)}
    found = import_job(one, io.BytesIO(zipped({"van.job.yaml": TEXT, **members})), "Ada")
    assert len(found.left_out) == len(members)


@pytest.mark.parametrize(
    "name",
    ["../x.csv", "/etc/x.csv", "a/../../x.csv", "C:/x.csv", "a\\..\\x.csv", "a//x.csv", "./x.csv", "con.csv",
     "x\n.csv", "x.csv ", "a./x.csv"],
)  # fmt: skip
def test_a_name_that_leads_elsewhere_is_refused(one: Shelf, name: str) -> None:
    with pytest.raises(CallError, match="nothing of it was taken"):
        import_job(one, io.BytesIO(zipped({"van.job.yaml": TEXT, name: "x"})), "Ada")
    assert one.jobs() == ()


def linked() -> bytes:
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w") as archive:
        archive.writestr("van.job.yaml", TEXT)
        link = zipfile.ZipInfo("stock.csv")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(link, "/etc/passwd")
    return into.getvalue()


def lying() -> bytes:
    """An archive whose directory says of a member that it is short."""
    data = zipped({"van.job.yaml": TEXT, "stock.csv": "x" * 5_000_000})
    at = data.rindex(b"PK\x01\x02")
    return data[: at + 24] + struct.pack("<I", 10) + data[at + 28 :]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: zipped({"van.job.yaml": TEXT, "a.csv": "0" * 25_000_000}), "bomb"),
        (lambda: zipped({"van.job.yaml": TEXT, **{f"{n}.csv": "0" * 900_000 for n in range(25)}}), "bomb"),
        (lambda: zipped({"van.job.yaml": TEXT, "stock.csv": "0" * 1_500_000}), "at most 1000000"),
        (lambda: zipped({f"{n}.txt": "" for n in range(12_001)}), "12001 files"),
        (lambda: zipped({"van.job.yaml": TEXT, "VAN.job.yaml": TEXT}), "twice"),
        (lambda: zipped({"van.job.yaml": TEXT, "bus.job.yaml": TEXT}), "2 job files"),
        (lambda: zipped({"notes.txt": "x"}), "0 job files"),
        (lambda: zipped({"van.job.yaml": b"\xff"}), "UTF-8"),
        (lambda: zipped({"van.job.yaml": TEXT, "a.jpg": b"\xff\xd8\xff no picture"}), "read as a picture"),
        (lambda: zipped({"van.job.yaml": TEXT, "a.jpg": picture("GIF")}), "read as a picture"),
        (linked, "link"),
        (lying, "damaged"),
        (lambda: b"PK\x03\x04" + bytes(100), "can't be read"),
        (lambda: zipped({"shelf.json": "{"}), "shelf.json can't be read"),
        (lambda: zipped({"shelf.json": '{"schema": "other/9"}'}), "another kind"),
    ],
)
def test_an_archive_that_is_no_job_is_refused_as_a_whole(
    one: Shelf, make: Callable[[], bytes], says: str
) -> None:
    with pytest.raises(CallError, match=says):
        import_job(one, io.BytesIO(make()), "Ada")
    assert one.jobs() == ()


def changed_index(data: bytes, change: Callable[[dict[str, object]], object]) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        members: dict[str, str | bytes] = {name: archive.read(name) for name in archive.namelist()}
    index = json.loads(members["shelf.json"])
    change(index)
    return zipped({**members, "shelf.json": json.dumps(index)})


@pytest.mark.parametrize(
    "change",
    [
        lambda index: index["revisions"].clear(),
        lambda index: index["revisions"].reverse(),
        lambda index: index["revisions"][0].pop("who"),
        lambda index: index["revisions"][0].update(when_utc="yesterday"),
        lambda index: index["revisions"][0].update(text="../../etc/passwd"),
        lambda index: index["revisions"][0].update(files={"../x": "files/a.txt"}),
        lambda index: index["revisions"][0].update(files=[1]),
        lambda index: index["photos"][0].update(file="nothing.jpg"),
        lambda index: index["photos"][0].update(file="shelf.json"),
        lambda index: index.update(revisions=5),
    ],
)
def test_an_index_that_somebody_changed_is_refused_or_harmless(
    one: Shelf, change: Callable[[dict[str, object]], object]
) -> None:
    data = changed_index(exported(one, filled(one)), change)
    before = one.jobs()
    with pytest.raises(GroundstrapError):
        import_job(one, io.BytesIO(data), "Ada")
    assert one.jobs() == before


@settings(max_examples=30)
@given(st.data())
def test_a_damaged_archive_is_taken_as_it_is_or_refused(data: st.DataObject) -> None:
    whole = bytearray(WHOLE)
    for _ in range(data.draw(st.integers(1, 4))):
        whole[data.draw(st.integers(0, len(whole) - 1))] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(whole))) if data.draw(st.booleans()) else len(whole)
    with contextlib.suppress(GroundstrapError):
        import_job(MEMORY, io.BytesIO(bytes(whole[:cut])), "Ada")


WHOLE = zipped({"van.job.yaml": TEXT, "stock.csv": STOCK, "a.jpg": picture()})


class _Memory:
    """Stands for a shelf on which nothing has to be kept: what is refused is refused before."""

    def new(self, *_: object) -> object:
        return self

    def job(self, *_: object) -> None: ...

    job_id = ""

    @property
    def database(self) -> _Memory:
        return self

    def run(self, _: object) -> None: ...


MEMORY: Shelf = _Memory()  # type: ignore[assignment]


class TestPhotos:
    def test_a_photo_is_made_anew_upright_and_without_what_the_camera_wrote(self) -> None:
        image = Image.new("RGB", (300, 200), "blue")
        exif = image.getexif()
        exif[0x0112] = 6  # to be turned by a quarter
        exif[0x010F] = "Camera 12345"
        exif.get_ifd(0x8825)[2] = (52.0, 30.0, 0.0)
        raw = io.BytesIO()
        image.save(raw, "JPEG", exif=exif, comment=b"secret")
        made = clean_photo(raw.getvalue())
        assert b"Camera" not in made
        assert b"secret" not in made
        with Image.open(io.BytesIO(made)) as found:
            assert (found.format, found.size) == ("JPEG", (200, 300))
            assert not found.getexif()

    def test_a_large_one_becomes_smaller_and_glass_becomes_paper(self) -> None:
        raw = io.BytesIO()
        Image.new("RGBA", (4000, 100), (0, 0, 0, 0)).save(raw, "PNG")
        with Image.open(io.BytesIO(clean_photo(raw.getvalue()))) as found:
            assert found.size == (2000, 50)
            assert found.getpixel((5, 5)) == (255, 255, 255)

    @pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
    def test_every_kind_that_is_named_is_taken(self, kind: str) -> None:
        assert clean_photo(picture(kind)).startswith(b"\xff\xd8\xff")

    @pytest.mark.parametrize("data", [b"", b"\xff\xd8\xff", b"<svg/>", b"%PDF-1.7", b"GIF89a" + bytes(20)])
    def test_what_is_no_picture_is_refused(self, data: bytes) -> None:
        with pytest.raises(CallError, match="wanted a JPEG, PNG or WebP"):
            clean_photo(data)

    def test_a_picture_that_would_fill_the_memory_is_refused_unread(self) -> None:
        raw = io.BytesIO()
        Image.new("1", (20_000, 8_000)).save(raw, "PNG")
        with pytest.raises(CallError, match="60 megapixels"):
            clean_photo(raw.getvalue())
        with pytest.raises(CallError, match="25000000"):
            clean_photo(bytes(25_000_001))
