"""The error tree: what each error says and carries."""

import pickle

import pytest

from groundstrap import errors
from groundstrap.errors import (
    CallError,
    CannotDoError,
    Fault,
    GroundstrapError,
    JobError,
    NetworkError,
    NotOnShelfError,
    OutOfRangeError,
    QuantityError,
    TableError,
    UnknownNameError,
    nearest_name,
)

FAULT = Fault(
    file="van.yaml",
    line=12,
    column=9,
    key="loads.fan.claims.power",
    found="60",
    wanted="W or kW",
    nearest="60 W",
    reason="a bare number",
)

EXAMPLES: list[tuple[GroundstrapError, type[BaseException], int]] = [
    (QuantityError(given="6 mm", reason="no area", wanted="mm2", nearest="6 mm2"), ValueError, 2),
    (OutOfRangeError("drop", "length_m", -1.0, 0.0, 1e4), ValueError, 2),
    (UnknownNameError("rule", "PRT01", ("PRT001", "VDP001")), LookupError, 2),
    (TableError("sizes", "row 2 is short", wanted="4 fields"), GroundstrapError, 2),
    (NetworkError("no supply", wanted="a supply", where=("fan",)), GroundstrapError, 2),
    (NotOnShelfError("job", "k3", wanted="an id that the list shows"), LookupError, 2),
    (JobError([FAULT]), GroundstrapError, 2),
    (CallError("no such option", wanted="--json", given="--jsn", nearest="--json"), GroundstrapError, 2),
    (CannotDoError("disk full", next_step="free some room"), GroundstrapError, 3),
]


@pytest.mark.parametrize(("error", "also", "status"), EXAMPLES, ids=lambda v: type(v).__name__)
def test_tree_and_exit_status(error: GroundstrapError, also: type[BaseException], status: int) -> None:
    assert isinstance(error, GroundstrapError)
    assert isinstance(error, also)
    assert error.exit_status == status


@pytest.mark.parametrize("error", [row[0] for row in EXAMPLES], ids=lambda v: type(v).__name__)
def test_crosses_a_process_border(error: GroundstrapError) -> None:
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error)
    assert str(again) == str(error)
    assert again.__dict__ == error.__dict__


def test_every_class_is_an_example() -> None:
    classes = {v for v in vars(errors).values() if isinstance(v, type) and issubclass(v, GroundstrapError)}
    assert classes - {GroundstrapError} == {type(row[0]) for row in EXAMPLES}


def test_quantity_error_says_and_carries_all() -> None:
    error = QuantityError(given="4,5 A", reason="decimal comma", wanted="A or mA", nearest="4.5 A")
    assert (error.given, error.reason, error.wanted, error.nearest) == (
        "4,5 A",
        "decimal comma",
        "A or mA",
        "4.5 A",
    )
    assert str(error) == "'4,5 A': decimal comma; wanted A or mA. Did you mean '4.5 A'?"


def test_unknown_name_lists_and_guesses() -> None:
    error = UnknownNameError("rule", "PRT01", ("PRT001", "VDP001"))
    assert error.known == ("PRT001", "VDP001")
    assert error.nearest == "PRT001"
    assert str(error) == "unknown rule 'PRT01'; known: PRT001, VDP001. Did you mean 'PRT001'?"


def test_long_lists_are_cut_and_counted() -> None:
    text = str(UnknownNameError("way", "zz", [f"F{n}" for n in range(40)]))
    assert text.endswith("F11 and 28 more")


def test_nothing_known_says_none() -> None:
    assert str(UnknownNameError("load", "fan", ())) == "unknown load 'fan'; known: none"


def test_nearest_ignores_case_and_gives_up() -> None:
    assert nearest_name("AMPS", ("A", "amps")) == "amps"
    assert nearest_name("xyzzy", ("cabin", "bilge")) is None
    assert nearest_name("x", ()) is None


def test_fault_is_one_line() -> None:
    assert str(FAULT) == (
        "van.yaml:12:9: loads.fan.claims.power: found '60' (a bare number), wanted W or kW."
        " Did you mean '60 W'?"
    )


def test_fault_without_place_or_key() -> None:
    fault = Fault(file="-", line=0, column=0, key="", found="", wanted="a job")
    assert fault.text == "-: found nothing, wanted a job"


def test_job_error_has_a_line_for_each_fault() -> None:
    error = JobError((FAULT, FAULT))
    assert error.faults == (FAULT, FAULT)
    assert str(error).splitlines() == [FAULT.text, FAULT.text]


def test_control_characters_never_reach_the_terminal() -> None:
    text = str(UnknownNameError("load", "a\x1b[2J\nb\u202e", ("fan",)))
    assert "\x1b" not in text
    assert "\n" not in text
    assert "\u202e" not in text


def test_long_text_is_cut() -> None:
    text = str(QuantityError(given="9" * 500, reason="too long", wanted="a number"))
    assert len(text) < 120
