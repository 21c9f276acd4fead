"""What is put on the shelf is there, with every state that it had, on both databases alike."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from groundstrap.errors import CallError, GroundstrapError, NotOnShelfError
from groundstrap.shelf import Clash, Saved, Shelf, open_shelf, settled

VAN = (
    "title: Bakery van\nabout: {vehicle: Panel van}\nloads:\n  lamp: {claims: {power: 5 W}}  # by the door\n"
)


def test_a_new_job_is_its_first_revision(shelf: Shelf) -> None:
    before = datetime.now(UTC) - timedelta(seconds=1)
    made = shelf.new(VAN, " Ada  L. ", "first go", {"stock.csv": "kind,size\n"})
    assert (made.number, made.text, made.who, made.note) == (1, VAN, "Ada L.", "first go")
    assert (made.title, made.vehicle, dict(made.files)) == (
        "Bakery van",
        "Panel van",
        {"stock.csv": "kind,size\n"},
    )
    assert before < made.when_utc < datetime.now(UTC) + timedelta(seconds=1)
    assert shelf.revision(made.job_id) == made
    job = shelf.job(made.job_id)
    assert shelf.jobs() == (job,)
    assert (job.latest, job.title, job.who, job.begun_utc) == (1, "Bakery van", "Ada L.", made.when_utc) or (
        abs(job.begun_utc - made.when_utc) < timedelta(seconds=1)
    )


def test_every_state_stays(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada").job_id
    texts = [VAN, *(f"{VAN}# {number}\n" for number in range(2, 6))]
    for number, text in enumerate(texts[1:], 1):
        assert shelf.save(job_id, text, number, "Bob", f"step {number}") == Saved(
            job_id=job_id, number=number + 1
        )
    assert [shelf.revision(job_id, number).text for number in range(1, 6)] == texts
    lines = shelf.revisions(job_id)
    assert [(line.number, line.based_on, line.note) for line in lines] == [
        (5, 4, "step 4"), (4, 3, "step 3"), (3, 2, "step 2"), (2, 1, "step 1"), (1, None, ""),
    ]  # fmt: skip
    assert len({line.fingerprint for line in lines}) == 5


def test_a_text_with_faults_is_kept_with_the_title_it_has(shelf: Shelf) -> None:
    text = "title: 'Half a job'\nloads: {lamp: [\n\tfan: 45W"
    made = shelf.new(text, "Ada")
    assert (made.text, made.title, made.vehicle) == (text, "Half a job", "")
    assert shelf.new("", "Ada").title == ""


@pytest.mark.parametrize(
    "text", ["a\r\nb\r\n", "\ufefftitle: x\n", "# ÄÖ 𝛀 \u2028 \x0b\n", " \n", "'; DROP TABLE shelf_job; --"]
)
def test_a_text_comes_back_as_it_was(shelf: Shelf, text: str) -> None:
    assert shelf.revision(shelf.new(text, "Ada").job_id).text == text


@pytest.mark.parametrize(
    ("text", "who", "files", "says"),
    [
        ("a\0b", "Ada", {}, "NUL"),
        ("a\ud800b", "Ada", {}, "half a character"),
        ("x" * 1_000_001, "Ada", {}, "1000001 bytes"),
        ("x", "  \n ", {}, "who saves"),
        ("x", "A" * 81, {}, "81 characters"),
        ("x", "Ada", {"../etc/passwd": ""}, "name"),
        ("x", "Ada", {"a/b.csv": ""}, "name"),
        ("x", "Ada", {"stock.csv": "", "STOCK.csv": ""}, "capitals"),
        ("x", "Ada", {f"{n}.csv": "" for n in range(51)}, "51 files"),
    ],
)
def test_what_no_shelf_can_keep_is_refused(
    shelf: Shelf, text: str, who: str, files: dict[str, str], says: str
) -> None:
    with pytest.raises(CallError, match=says):
        shelf.new(text, who, files=files)
    assert shelf.jobs() == ()


def test_two_that_save_the_same_job_never_write_over_each_other(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada").job_id
    mine, theirs = VAN.replace("5 W", "6 W"), VAN.replace("Panel", "Box")
    assert shelf.save(job_id, theirs, 1, "Bob") == Saved(job_id=job_id, number=2)
    clash = shelf.save(job_id, mine, 1, "Ada")
    assert isinstance(clash, Clash)
    assert (clash.theirs.text, clash.base.text, clash.mine, clash.clashes) == (theirs, VAN, mine, ())
    assert clash.merged == theirs.replace("5 W", "6 W")
    assert shelf.job(job_id).latest == 2
    assert shelf.save(job_id, clash.merged, clash.theirs.number, "Ada") == Saved(job_id=job_id, number=3)


def test_a_value_that_both_changed_is_decided_by_a_person(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada").job_id
    shelf.save(job_id, VAN.replace("5 W", "7 W"), 1, "Bob")
    clash = shelf.save(job_id, VAN.replace("5 W", "6 W"), 1, "Ada")
    assert isinstance(clash, Clash)
    assert clash.merged is None
    assert [(at.path, at.base, at.mine, at.theirs) for at in clash.clashes] == [
        (("loads", "lamp", "claims", "power"), "5 W", "6 W", "7 W")
    ]
    assert settled(clash, "mine").merged == VAN.replace("5 W", "6 W")
    assert settled(clash, {clash.clashes[0].path: "theirs"}).merged == VAN.replace("5 W", "7 W")


def test_files_beside_a_job_go_with_its_revisions(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada", files={"stock.csv": "1", "curve.csv": "c"}).job_id
    shelf.save(job_id, VAN + "# a\n", 1, "Ada")
    assert dict(shelf.revision(job_id).files) == {"stock.csv": "1", "curve.csv": "c"}
    assert shelf.save(job_id, VAN + "# a\n", 2, "Ada", files={"stock.csv": "2"}) == Saved(
        job_id=job_id, number=3
    )
    assert dict(shelf.revision(job_id).files) == {"stock.csv": "2"}
    assert dict(shelf.revision(job_id, 1).files) == {"stock.csv": "1", "curve.csv": "c"}
    clash = shelf.save(job_id, VAN + "# a\n", 2, "Bob", files={"stock.csv": "3", "curve.csv": "c"})
    assert isinstance(clash, Clash)
    assert [at.path for at in clash.clashes] == [("files", "stock.csv")]
    assert settled(clash, "theirs").merged_files == {"stock.csv": "2"}


def test_saving_again_after_an_answer_was_lost_keeps_nothing_twice(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada").job_id
    text = VAN + "# more\n"
    assert shelf.save(job_id, text, 1, "Ada") == Saved(job_id=job_id, number=2)
    assert shelf.save(job_id, text, 1, "Ada") == Saved(job_id=job_id, number=2, new=False)
    assert shelf.save(job_id, text, 2, "Ada") == Saved(job_id=job_id, number=2, new=False)
    assert len(shelf.revisions(job_id)) == 2


def test_any_revision_is_restored_as_a_new_one(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada", files={"a.csv": "1"}).job_id
    shelf.save(job_id, VAN + "# a\n", 1, "Ada", files={})
    assert shelf.restore(job_id, 1, "Bob", "as it was") == Saved(job_id=job_id, number=3)
    back = shelf.revision(job_id)
    assert (back.text, dict(back.files), back.restored_from, back.based_on) == (VAN, {"a.csv": "1"}, 1, 2)
    assert shelf.restore(job_id, 3, "Bob") == Saved(job_id=job_id, number=3, new=False)
    assert shelf.revision(job_id, 2).text == VAN + "# a\n"


def test_a_removed_job_is_kept_until_it_is_erased(shelf: Shelf) -> None:
    job_id, other = (
        shelf.new(VAN, "Ada").job_id,
        shelf.new("title: Other\n", "Ada", files={"a.csv": "1"}).job_id,
    )
    with pytest.raises(CallError, match="removed"):
        shelf.erase(job_id)
    assert shelf.remove(job_id, "Bob").removed_by == "Bob"
    assert [job.id for job in shelf.jobs()] == [other]
    assert [job.id for job in shelf.jobs(removed=True)] == [job_id]
    assert shelf.revision(job_id).text == VAN
    shelf.restore(job_id, 1, "Ada")
    assert {job.id for job in shelf.jobs()} == {other, job_id}
    assert shelf.job(job_id).removed_utc is None
    shelf.remove(job_id, "Bob")
    shelf.erase(job_id)
    with pytest.raises(NotOnShelfError):
        shelf.revision(job_id)
    assert dict(shelf.revision(other).files) == {"a.csv": "1"}


def test_who_saves_a_job_that_was_removed_meanwhile_loses_nothing(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada").job_id
    shelf.remove(job_id, "Bob")
    assert isinstance(shelf.save(job_id, VAN + "# a\n", 1, "Ada"), Saved)
    assert [job.id for job in shelf.jobs()] == [job_id]


@pytest.mark.parametrize("job_id", ["", "nothing", "a\0b", "' OR 1=1 --", "%"])
def test_what_is_not_there_is_said(shelf: Shelf, job_id: str) -> None:
    shelf.new(VAN, "Ada")
    for call in (shelf.job, shelf.revision, shelf.revisions, shelf.photos, shelf.photo):
        with pytest.raises(NotOnShelfError, match="shelf has no"):
            call(job_id)
    with pytest.raises(GroundstrapError):
        shelf.find(job_id)


@pytest.mark.parametrize("number", [0, -1, 2, 10**12])
def test_a_revision_that_is_not_there_is_said(shelf: Shelf, number: int) -> None:
    job_id = shelf.new(VAN, "Ada").job_id
    with pytest.raises(NotOnShelfError, match="from 1 to 1"):
        shelf.revision(job_id, number)
    with pytest.raises(NotOnShelfError, match="from 1 to 1"):
        shelf.save(job_id, VAN + "# a\n", number, "Ada")


def test_a_search_finds_words_of_the_newest_revision(shelf: Shelf) -> None:
    texts = {
        "van": VAN + "# 50% off, C:\\boxes\n",
        "boat": "title: ÖLTANK_1 pump\nabout: {vehicle: Oyster skiff}\n"
        "loads: {Bilge Pump: {claims: {power: 30 W}}}\n",
        "bus": "title: Book bus\nabout: {vehicle: coach, owner: town}\n"
        "gear:\n  main: {kind: isolator, note: 'said 25mm²'}\n",
    }
    ids = {name: shelf.new(text, "Ada").job_id for name, text in texts.items()}

    def found(search: str, **more: str) -> set[str]:
        return {
            name for name, job_id in ids.items() if job_id in {job.id for job in shelf.jobs(search, **more)}
        }

    assert found("") == set(ids)
    assert found("BAKERY") == {"van"}
    assert found("öltank") == {"boat"} == found("ÖltAnk")
    assert found("bilge pump") == {"boat"} == found("pump bilge")
    assert found("pump bakery") == set()
    assert found("door") == {"van"}  # a comment
    assert found("25MM2") == {"bus"}  # what reads alike is alike
    assert found("50%") == {"van"}
    assert found("_1") == {"boat"}
    assert found("%") == {"van"}
    assert found("\\") == {"van"}
    assert found("/") == set()
    assert found("power") == set()  # a key of the format is no word of a job
    assert found("", vehicle="SKIFF") == {"boat"}
    assert found("town", vehicle="coach") == {"bus"}
    assert found("", vehicle="bakery") == set()
    shelf.save(ids["van"], "title: Mill van\n", 1, "Ada")
    assert found("bakery") == set()
    assert found("mill") == {"van"}
    with pytest.raises(CallError, match="201 characters"):
        shelf.jobs("x" * 201)


def test_the_list_comes_in_pages_with_what_changed_last_first(shelf: Shelf) -> None:
    ids = [shelf.new(f"title: Job {number}\n", "Ada").job_id for number in range(7)]
    shelf.save(ids[2], "title: Again\n", 1, "Ada")
    wanted = [ids[2], *reversed([each for each in ids if each != ids[2]])]
    pages: list[str] = []
    after = None
    while page := shelf.jobs(limit=3, after=after):
        pages += [job.id for job in page]
        after = page[-1].id
    assert pages == wanted


def test_a_job_is_found_by_what_people_type(shelf: Shelf) -> None:
    first = shelf.new(VAN, "Ada").job_id
    second = shelf.new("title: Mill\n", "Ada").job_id
    assert shelf.find(first).id == shelf.find(first[:6].upper()).id == shelf.find(" bakery  VAN ").id == first
    assert shelf.find("mill").id == second
    shelf.new("title: Mill\n", "Ada")
    with pytest.raises(NotOnShelfError, match=second):
        shelf.find("Mill")


def test_photos_belong_to_a_job(shelf: Shelf) -> None:
    job_id = shelf.new(VAN, "Ada").job_id
    jpeg, png = b"\xff\xd8\xff" + bytes(range(256)), b"\x89PNG\r\n\x1a\n" + bytes(50)
    first = shelf.add_photo(job_id, jpeg, "fuse box\nas found", "Ada")
    second = shelf.add_photo(job_id, png, "", "Bob")
    assert shelf.photos(job_id) == (first, second)
    assert (first.caption, first.media_type, first.size_bytes) == ("fuse box as found", "image/jpeg", 259)
    assert shelf.photo(first.id).data == jpeg
    shelf.remove_photo(first.id)
    assert shelf.photos(job_id) == (second,)
    with pytest.raises(CallError, match="no picture"):
        shelf.add_photo(job_id, b"<svg onload='x'>", "", "Ada")
    with pytest.raises(NotOnShelfError):
        shelf.add_photo("nothing", jpeg, "", "Ada")


def test_of_many_that_save_at_once_each_is_kept_or_told(url: str) -> None:
    """Five threads, each with a connection of its own, every one adding its line until it is kept."""
    with open_shelf(url) as opened:
        job_id = opened.new("title: x\nloads: {}\n", "Ada").job_id
    kept: list[tuple[int, str]] = []
    failed: list[BaseException] = []

    def work(who: str) -> None:
        try:
            with open_shelf(url) as mine:
                for number in range(3):
                    base = mine.revision(job_id)
                    while True:
                        text = f"{base.text}# {who} {number}\n"
                        found = mine.save(job_id, text, base.number, who)
                        if isinstance(found, Saved):
                            kept.append((found.number, f"# {who} {number}\n"))
                            break
                        base = found.theirs
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=work, args=(f"w{number}",)) for number in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not failed
    assert sorted(number for number, _ in kept) == list(range(2, 17))
    with open_shelf(url) as opened:
        final = opened.revision(job_id)
        assert final.number == 16
        assert all(line in final.text for _, line in kept)
        for number, line in kept:
            assert opened.revision(job_id, number).text.endswith(line)


def test_what_has_begun_to_be_read_is_one_state(shelf: Shelf) -> None:
    """Text and files of the newest revision are of the same revision, however quickly others save."""
    job_id = shelf.new("title: 0\n", "Ada", files={"a.csv": "0"}).job_id
    stop = threading.Event()

    def write() -> None:
        for number in range(1, 20):
            shelf.save(job_id, f"title: {number}\n", number, "Ada", files={"a.csv": str(number)})
        stop.set()

    writer = threading.Thread(target=write)
    writer.start()
    while not stop.is_set():
        found = shelf.revision(job_id)
        assert found.text == f"title: {found.files['a.csv']}\n"
    writer.join()


def test_fifty_who_share_a_shelf_are_all_served(shelf: Shelf) -> None:
    """As a page does it: one shelf, a thread for each request, each person a job of their own."""
    ids = [shelf.new(f"title: Job {number}\n", "Ada").job_id for number in range(10)]

    def work(number: int) -> int:
        job_id = ids[number % 10]
        while True:
            base = shelf.revision(job_id)
            found = shelf.save(job_id, f"{base.text}# {number}\n", base.number, f"w{number}")
            if isinstance(found, Saved):
                return found.number

    with ThreadPoolExecutor(50) as pool:
        assert len(list(pool.map(work, range(50)))) == 50
    for number, job_id in enumerate(ids):
        found = shelf.revision(job_id)
        assert found.number == 6
        assert all(f"# {each}\n" in found.text for each in range(number, 50, 10))
