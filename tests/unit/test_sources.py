"""Sources: complete, graded, and asked for by id."""

from __future__ import annotations

import re

import pytest

from groundstrap.errors import UnknownNameError
from groundstrap.sources import Seen, SourceKind, all_sources, source, weightiest


def test_every_entry_reads() -> None:
    assert len(all_sources()) > 60
    for id_, entry in all_sources().items():
        assert entry.id == id_
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", id_)
        assert entry.title
        assert entry.edition
        assert source(id_) == entry


def test_practice_and_judgement_are_not_documents() -> None:
    for entry in all_sources().values():
        own = entry.kind in {SourceKind.COMMON_PRACTICE, SourceKind.OWN_JUDGEMENT, SourceKind.OWN_TEST}
        assert own == (entry.seen is Seen.NOT_APPLICABLE), entry.id


def test_unknown_id_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as caught:
        source("iec-60229")
    assert caught.value.nearest == "iec-60228"


def test_law_outweighs_standard_outweighs_practice() -> None:
    assert weightiest(("common-practice", "iso-6722", "cfr-33-183-425")).id == "cfr-33-183-425"
    assert weightiest(("own-judgement", "common-practice")).id == "common-practice"


def test_what_nobody_read_carries_no_stable_rule() -> None:
    assert not source("nec-9-8").may_carry_a_stable_rule
    assert not source("abyc-e11").may_carry_a_stable_rule
    assert source("cfr-33-183-425").may_carry_a_stable_rule
