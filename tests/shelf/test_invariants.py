"""Whatever people save, restore, merge, remove and bring back: no text that was acknowledged is ever lost."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, rule

from groundstrap.shelf import Clash, Saved, open_shelf, settled
from tests.shelf.test_merging import jobs, text_of

any_text = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=40)
texts = st.builds(text_of, jobs, st.integers(1, 3)) | any_text
files = st.none() | st.dictionaries(st.sampled_from(["stock.csv", "curve.csv"]), st.sampled_from(["1", "2"]))
people = st.sampled_from(["Ada", "Bob"])
State = tuple[str, Mapping[str, str]]
Seen = tuple[str, int]


@cache
def new_shelf() -> Path:
    """A shelf whose tables are there: to make them takes longer than everything else here."""
    path = Path(tempfile.mkdtemp()) / "shelf.sqlite"
    atexit.register(shutil.rmtree, path.parent)
    open_shelf(f"sqlite:///{path}").close()
    return path


class ShelfMachine(RuleBasedStateMachine):
    """A shelf beside the plainest model of it: a list of states for each job."""

    opened = Bundle("opened")

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        shutil.copy(new_shelf(), self.folder.name)
        self.url = f"sqlite:///{self.folder.name}/shelf.sqlite"
        self.shelf = open_shelf(self.url)
        self.kept: dict[str, list[State]] = {}
        self.removed: set[str] = set()

    def teardown(self) -> None:
        self.shelf.close()
        self.folder.cleanup()

    @rule(target=opened, text=texts, beside=files, who=people)
    def new(self, text: str, beside: dict[str, str] | None, who: str) -> Seen:
        made = self.shelf.new(text, who, files=beside)
        self.kept[made.job_id] = [(text, beside or {})]
        return made.job_id, 1

    @rule(target=opened, seen=opened)
    def look(self, seen: Seen) -> Seen:
        return seen[0], self.shelf.revision(seen[0]).number

    @rule(target=opened, seen=opened, text=texts, beside=files, who=people)
    def save(self, seen: Seen, text: str, beside: dict[str, str] | None, who: str) -> Seen:
        job_id, based_on = seen
        states = self.kept[job_id]
        mine: State = (text, states[based_on - 1][1] if beside is None else beside)
        found = self.shelf.save(job_id, text, based_on, who, files=beside)
        if isinstance(found, Clash):
            # Refused because somebody was quicker, and says who and what; nothing was written.
            assert based_on < len(states)
            assert (found.theirs.text, dict(found.theirs.files)) == states[-1]
            assert (found.base.text, dict(found.base.files)) == states[based_on - 1]
            return seen
        if states[-1] != mine:
            assert based_on == len(states)
            states.append(mine)
        assert found.number == len(states)
        self.removed.discard(job_id)
        return job_id, found.number

    @rule(target=opened, seen=opened, text=texts, who=people, choice=st.sampled_from(["mine", "theirs"]))
    def merge(self, seen: Seen, text: str, who: str, choice: str) -> Seen:
        """Save, and where somebody was quicker, decide and save both together."""
        job_id, based_on = seen
        found = self.shelf.save(job_id, text, based_on, who)
        while isinstance(found, Clash):
            both = settled(found, choice)  # type: ignore[arg-type]
            assert both.merged is not None
            assert both.merged_files is not None
            found = self.shelf.save(job_id, both.merged, found.theirs.number, who, files=both.merged_files)
            text, based_on = both.merged, len(self.kept[job_id])
        assert isinstance(found, Saved)
        if found.new:
            revision = self.shelf.revision(job_id)
            assert revision.text == text
            self.kept[job_id].append((text, dict(revision.files)))
        self.removed.discard(job_id)
        return job_id, found.number

    @rule(target=opened, seen=opened, who=people)
    def restore(self, seen: Seen, who: str) -> Seen:
        job_id, number = seen
        found = self.shelf.restore(job_id, number, who)
        states = self.kept[job_id]
        if states[-1] != states[number - 1]:
            states.append(states[number - 1])
        self.removed.discard(job_id)
        assert found.number == len(states)
        return job_id, found.number

    @rule(seen=opened, who=people)
    def remove(self, seen: Seen, who: str) -> None:
        self.shelf.remove(seen[0], who)
        self.removed.add(seen[0])

    @rule()
    def open_again(self) -> None:
        self.shelf.close()
        self.shelf = open_shelf(self.url)

    @invariant()
    def everything_is_there(self) -> None:
        if not hasattr(self, "kept"):
            return
        there = {job.id for job in self.shelf.jobs(limit=500)}
        gone = {job.id for job in self.shelf.jobs(limit=500, removed=True)}
        assert (there, gone) == (self.kept.keys() - self.removed, self.removed)
        for job_id, states in self.kept.items():
            lines = self.shelf.revisions(job_id)
            assert len(lines) == len(states)
            assert len({line.fingerprint for line in lines}) == len({repr(_state(each)) for each in states})

    @invariant()
    def the_newest_is_what_was_saved_last(self) -> None:
        for job_id, states in getattr(self, "kept", {}).items():
            for number in {1, len(states)}:
                found = self.shelf.revision(job_id, number)
                assert (found.text, dict(found.files)) == _state(states[number - 1])


def _state(state: State) -> tuple[str, dict[str, str]]:
    return state[0], dict(state[1])


TestShelfMachine = ShelfMachine.TestCase
TestShelfMachine.settings = settings(max_examples=10, stateful_step_count=14, deadline=None)
