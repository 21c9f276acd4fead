"""What no committed file says: addresses of registries, paths of one machine, marks that a maker owns.

The words are put together from halves here, so that this file does not trip over itself.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.contract.source_tree import ROOT, committed_files

REGISTRIES = (
    "pypi" + r"\.org",
    "python" + "hosted",
    "registry" + r"\.npm",
    "deb" + r"\.debian",
    "files" + r"\.python",
)
# A path that starts at the top of one machine; `docs/work/` or `~/tmp` inside a word do not.
MACHINE_PATHS = (
    r"(?:^|[\s\"'`(=:])/(?:" + "|".join(("wo" + "rk", "tm" + "p", "ro" + "ot", "ho" + "me")) + r")/"
)
WORKPLACE = (
    "tran" + "script",
    "seed d" + "oc",
    r"\.lib" + "rary",
    r"\bfarm" + "-",
    r"\.\./sha" + "red",
    "issues sh" + "ow",
    r"(?-i:\bENGINEER" + r"ING\b)",
    r"(?-i:\bnumeric-" + r"core\.md)",
)
# Trade marks that are used as if they were sizes of fuses; ISO 8820 letters and plain words serve.
MARKS = (
    r"\b(?:"
    + "|".join(
        (
            "AT" + "O",
            "AT" + "C",
            "MIN" + "I",
            "MAX" + "I",
            "JC" + "ASE",
            "MID" + "I",
            "MEG" + "A",
            "MR" + "BF",
            "AN" + "L",
        )
    )
    + r")\b"
)

FORBIDDEN = {
    "registry address": re.compile("|".join(REGISTRIES), re.IGNORECASE),
    "path of one machine": re.compile(MACHINE_PATHS),
    "word of the workplace": re.compile("|".join(WORKPLACE), re.IGNORECASE),
    "maker's mark": re.compile(MARKS),
}


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_committed_file_holds(what: str) -> None:
    pattern = FORBIDDEN[what]
    hits = [
        f"{path.relative_to(ROOT).as_posix()}:{number}"
        for path in committed_files()
        for number, line in enumerate(_text(path).splitlines(), 1)
        if pattern.search(line)
    ]
    assert not hits, f"{what} in {hits}"


@pytest.mark.parametrize(
    ("what", "line"),
    [
        ("registry address", "see https://" + "pypi" + ".org/simple"),
        ("path of one machine", 'open("/' + "tm" + 'p/job.yaml")'),
        ("word of the workplace", "as the " + "seed d" + "ocument says"),
        ("word of the workplace", "# ENGINEER" + "ING: 1 to 5 mohm"),
        ("maker's mark", "a 15 A " + "AT" + "O fuse"),
    ],
)
def test_the_search_finds_what_it_looks_for(what: str, line: str) -> None:
    assert FORBIDDEN[what].search(line)


@pytest.mark.parametrize(
    ("what", "line"),
    [
        ("path of one machine", "docs/work/plan.md"),
        ("word of the workplace", "an engineering estimate"),
        ("maker's mark", "a mini blade fuse, minimum 5 A, MAXIMUM 30 A"),
    ],
)
def test_the_search_leaves_plain_words_alone(what: str, line: str) -> None:
    assert not FORBIDDEN[what].search(line)
