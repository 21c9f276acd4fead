"""The quick `dataclass` behaves like the standard library's, whose own classes are made here beside it."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
from collections.abc import Callable
from typing import Any, ClassVar

import pytest

from groundstrap.records import dataclass, replace

Decorator = Callable[..., Any]

_OPTIONS = [
    {"frozen": frozen, "slots": slots, "kw_only": kw_only, "eq": eq}
    for frozen in (False, True)
    for slots in (False, True)
    for kw_only in (False, True)
    for eq in (False, True)
]


def _cable(decorator: Decorator, options: dict[str, bool]) -> Any:
    @decorator(**options)
    class Cable:
        name: str
        area_mm2: float
        kind: ClassVar[str] = "wire"
        marks: list[str] = dataclasses.field(default_factory=list)
        colour: str = "red"
        seen: dict[str, int] = dataclasses.field(default_factory=dict, init=False, repr=False, compare=False)
        told: str = dataclasses.field(default="", repr=False, compare=False)

    return Cable


def _said(act: Callable[[], object]) -> object:
    """What comes of it: the answer, or the kind and the words of the error."""
    try:
        return act()
    except Exception as error:
        return type(error), str(error)


def _look(name: str) -> Callable[[Any], object]:
    """What a class and its instances say, without anything that only one run can know."""
    looks: dict[str, Callable[[Any], object]] = {
        "repr": lambda of: repr(of(name="a", area_mm2=2.5)),
        "all arguments": lambda of: repr(of(name="a", area_mm2=2.5, marks=["x"], colour="blue", told="b")),
        "in order": lambda of: repr(of("a", 2.5, ["x"], "blue")),
        "one too few": lambda of: of(name="a"),
        "one too many": lambda of: of(name="a", area_mm2=1.0, weight_kg=2.0),
        "what is not given": lambda of: of(name="a", area_mm2=1.0, seen={}),
        "equal": lambda of: of(name="a", area_mm2=1.0) == of(name="a", area_mm2=1.0, told="b"),
        "not equal": lambda of: of(name="a", area_mm2=1.0) == of(name="a", area_mm2=1.5),
        "another class": lambda of: of(name="a", area_mm2=1.0) == ("a", 1.0, [], "red"),
        "hash": lambda of: hash(of(name="a", area_mm2=1.0, marks=())) == hash(("a", 1.0, (), "red")),
        "no hash": lambda of: of.__hash__ is None,
        "set": lambda of: setattr(of(name="a", area_mm2=1.0), "name", "b"),
        "delete": lambda of: delattr(of(name="a", area_mm2=1.0), "name"),
        "fields": lambda of: [(f.name, f.type, f.init, f.kw_only) for f in dataclasses.fields(of)],
        "replace": lambda of: repr(dataclasses.replace(of(name="a", area_mm2=1.0), area_mm2=4.0)),
        "as a dictionary": lambda of: dataclasses.asdict(of(name="a", area_mm2=1.0)),
        "signature": lambda of: str(inspect.signature(of)),
        "call's name": lambda of: of.__init__.__qualname__,
        "match": lambda of: of.__match_args__,
        "slots": lambda of: getattr(of, "__slots__", None),
        "copy": lambda of: repr(copy.deepcopy(of(name="a", area_mm2=1.0, marks=["x"]))),
        "own list": lambda of: of(name="a", area_mm2=1.0).marks is of(name="a", area_mm2=1.0).marks,
    }
    return looks[name]


_LOOKS = [
    "repr", "all arguments", "in order", "one too few", "one too many", "what is not given", "equal",
    "not equal", "another class", "hash", "no hash", "set", "delete", "fields", "replace", "as a dictionary",
    "signature", "call's name", "match", "slots", "copy", "own list",
]  # fmt: skip


@pytest.mark.parametrize("options", _OPTIONS, ids=lambda o: " ".join(k for k, v in o.items() if v) or "plain")
@pytest.mark.parametrize("look", _LOOKS)
def test_like_the_standard_library(look: str, options: dict[str, bool]) -> None:
    told = _look(look)
    ours, theirs = _cable(dataclass, options), _cable(dataclasses.dataclass, options)
    assert _said(lambda: told(ours)) == _said(lambda: told(theirs))


@pytest.mark.parametrize("decorator", [dataclass, dataclasses.dataclass])
def test_own_methods_and_parents(decorator: Decorator) -> None:
    @decorator(frozen=True, kw_only=True)
    class Thing:
        """A thing."""

        name: str

        def __post_init__(self) -> None:
            if not self.name:
                raise ValueError("no name")

        def __repr__(self) -> str:
            return f"<{self.name}>"

    @decorator(frozen=True, kw_only=True)
    class Wire(Thing):
        """A wire."""

        length_m: float = 1.0

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Wire) and other.length_m == self.length_m

        def __hash__(self) -> int:
            return 5

    assert repr(Thing(name="lamp")) == "<lamp>"
    # A class further down is shown with its fields, as it has no `__repr__` of its own.
    assert repr(Wire(name="a")).endswith("Wire(name='a', length_m=1.0)")
    assert Wire(name="a") == Wire(name="b")
    assert hash(Wire(name="a")) == 5
    with pytest.raises(ValueError, match="no name"):
        Wire(name="")


@dataclass(frozen=True, slots=True)
class Kept:
    """At the top of a module, so that it can be found again by its name."""

    name: str
    sizes: tuple[float, ...] = ()


def test_crosses_process_borders() -> None:
    kept = Kept("cable", (1.5, 2.5))
    again = pickle.loads(pickle.dumps(kept))
    assert again == kept
    assert hash(again) == hash(kept)
    with pytest.raises(dataclasses.FrozenInstanceError):
        again.name = "other"  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        again.colour = "red"


@pytest.mark.parametrize("options", _OPTIONS, ids=lambda o: " ".join(k for k, v in o.items() if v) or "plain")
def test_a_changed_copy_is_as_the_standard_library_makes_it(options: dict[str, bool]) -> None:
    cable = _cable(dataclass, options)(name="a", area_mm2=1.0, marks=["x"])
    changed, theirs = replace(cable, area_mm2=4.0), dataclasses.replace(cable, area_mm2=4.0)
    assert repr(changed) == repr(theirs)
    assert changed.marks is cable.marks
    # What no call may set is made anew for a copy.
    assert changed.seen == {}
    assert changed.seen is not cable.seen
    with pytest.raises(ValueError, match="seen"):
        replace(cable, seen={})


def test_a_changed_copy_of_slots_keeps_class_and_refuses_other_names() -> None:
    class Own(Kept):
        """A class without fields of its own."""

        __slots__ = ()

    own = replace(Own("cable", (1.5,)), name="strap")
    assert type(own) is Own
    assert (own.name, own.sizes) == ("strap", (1.5,))
    with pytest.raises(TypeError, match="weight"):
        replace(own, weight=2.0)


def test_a_changed_copy_is_checked_like_any_other() -> None:
    @dataclass(frozen=True, slots=True)
    class Checked:
        """Something with a rule."""

        length_m: float

        def __post_init__(self) -> None:
            if self.length_m < 0:
                raise ValueError("shorter than nothing")

    with pytest.raises(ValueError, match="shorter"):
        replace(Checked(1.0), length_m=-1.0)
