"""`dataclass` as the standard library has it, for a program that starts often: less is compiled on import.

The standard library writes and compiles six methods for each class while that is being imported: with four
hundred classes 0.4 s of the 1.3 s that planning a job took as a process, most of it for methods that nobody
calls there. Here `__init__` is compiled when it is first looked up, and the other methods are closures.
What is frozen fills its slots directly, when it is made and when `replace` makes a changed copy: each of the
two takes half as long. Fields, slots and `asdict` stay with the standard library; so does what a type checker
sees.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from operator import attrgetter
from reprlib import recursive_repr
from types import MemberDescriptorType
from typing import TYPE_CHECKING, Any, Final, TypeVar

__all__ = ["dataclass", "replace"]

_Class = TypeVar("_Class", bound=type[Any])
_Values = Callable[[object], tuple[object, ...]]


class _Factory:
    """Stands for a default that is made anew for each instance."""

    def __repr__(self) -> str:
        return "<factory>"


_FACTORY: Final = _Factory()


class _Init:
    """In the place of `__init__` until that is looked up for the first time."""

    __slots__ = ("frozen", "of")

    def __init__(self, of: type, *, frozen: bool) -> None:
        self.of, self.frozen = of, frozen

    def __get__(self, instance: object, owner: type | None = None) -> object:
        init = _compiled_init(self.of, frozen=self.frozen)
        self.of.__init__ = init  # type: ignore[misc]
        return init if instance is None else init.__get__(instance)


def _compiled_init(of: type, *, frozen: bool) -> Callable[..., None]:
    """Write and compile `__init__` of a class by its fields."""
    fields = dataclasses.fields(of)
    names: dict[str, object] = {"_factory": _FACTORY}
    in_order: list[str] = []
    by_name: list[str] = []
    body: list[str] = []
    for each in fields:
        argument, value = each.name, each.name
        if each.default_factory is not dataclasses.MISSING:
            names[f"_make_{each.name}"] = each.default_factory
            argument += "=_factory"
            made = f"_make_{each.name}()"
            value = f"{made} if {each.name} is _factory else {each.name}" if each.init else made
        elif each.default is not dataclasses.MISSING:
            names[f"_default_{each.name}"] = each.default
            argument += f"=_default_{each.name}"
            value = each.name if each.init else f"_default_{each.name}"
        if each.init:
            (by_name if each.kw_only else in_order).append(argument)
        if each.init or argument != each.name:
            body.append(f"{_put(of, each.name, names)}{value})" if frozen else f"self.{each.name} = {value}")
    if hasattr(of, "__post_init__"):
        body.append("self.__post_init__()")
    arguments = ["self", *in_order, *(["*", *by_name] if by_name else [])]
    exec("\n ".join([f"def __init__({', '.join(arguments)}):", *(body or ["pass"])]), names)
    init: Any = names["__init__"]
    init.__qualname__, init.__module__ = f"{of.__qualname__}.__init__", of.__module__
    init.__annotations__ = {**{each.name: each.type for each in fields if each.init}, "return": None}
    return init  # type: ignore[no-any-return]


def _put(of: type, name: str, names: dict[str, object]) -> str:
    """Begin of a call that puts a value into a field of `self`: straight into its slot, where it has one."""
    slot = getattr(of, name, None)
    if isinstance(slot, MemberDescriptorType):
        names[f"_put_{name}"] = slot.__set__
        return f"_put_{name}(self, "
    names["_put"] = object.__setattr__
    return f"_put(self, {name!r}, "


class _Replace:
    """In the place of `__replace__` until that is looked up for the first time."""

    __slots__ = ("of",)

    def __init__(self, of: type) -> None:
        self.of = of

    def __get__(self, instance: object, owner: type | None = None) -> object:
        made = _compiled_replace(self.of)
        self.of.__replace__ = made  # type: ignore[attr-defined]
        return made if instance is None else made.__get__(instance)


def _compiled_replace(of: type) -> Callable[..., Any]:
    """Write and compile a method that returns a copy with other values in some fields."""
    fields = dataclasses.fields(of)
    if hasattr(of, "__post_init__") or not all(each.init for each in fields):
        # What `__init__` does beside taking values has to be done for the copy too.
        return dataclasses.replace
    names: dict[str, object] = {"_new": object.__new__}
    copied = [f"{_put(of, each.name, names)}old.{each.name})" for each in fields]
    names["_names"], names["_set"] = frozenset(each.name for each in fields), object.__setattr__
    body = [
        "if not changes.keys() <= _names:",
        " raise TypeError(f'{old.__class__.__name__} has no {sorted(changes.keys() - _names)}')",
        "self = _new(old.__class__)",
        *copied,
        "for name, value in changes.items():",
        " _set(self, name, value)",
        "return self",
    ]
    exec("\n ".join(["def __replace__(old, /, **changes):", *body]), names)
    made: Any = names["__replace__"]
    made.__qualname__, made.__module__ = f"{of.__qualname__}.__replace__", of.__module__
    return made  # type: ignore[no-any-return]


def _values_of(names: tuple[str, ...]) -> _Values:
    """A function that returns some attributes of a thing as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda thing: tuple(getattr(thing, name) for name in names)


def _represent(self: object) -> str:
    shown = ", ".join(f"{f.name}={getattr(self, f.name)!r}" for f in dataclasses.fields(self) if f.repr)  # type: ignore[arg-type]
    return f"{self.__class__.__qualname__}({shown})"


def _equality(values: _Values) -> Callable[[object, object], object]:
    def __eq__(self: object, other: object) -> object:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    return __eq__


def _refuse_to_set(_: object, name: str, __: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(_: object, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _get_state(self: object) -> list[object]:
    return [getattr(self, each.name) for each in dataclasses.fields(self)]  # type: ignore[arg-type]


def _set_state(self: object, state: list[object]) -> None:
    for each, value in zip(dataclasses.fields(self), state, strict=True):  # type: ignore[arg-type]
        object.__setattr__(self, each.name, value)


def _methods(made: type, *, frozen: bool, eq: bool) -> dict[str, object]:
    """Everything but `__init__` that a class gets where it has none of its own."""
    found: dict[str, object] = {"__repr__": recursive_repr()(_represent)}
    if eq:
        compared = tuple(each.name for each in dataclasses.fields(made) if each.compare)
        values = _values_of(compared)
        found["__eq__"] = _equality(values)
        found["__hash__"] = (lambda self: hash(values(self))) if frozen else None
    if frozen:
        found |= {"__setattr__": _refuse_to_set, "__delattr__": _refuse_to_delete}
    return found


def _record(
    cls: _Class | None = None,
    /,
    *,
    frozen: bool = False,
    slots: bool = False,
    kw_only: bool = False,
    eq: bool = True,
) -> Any:
    def made_of(cls: _Class) -> Any:
        own = dict(vars(cls))
        # A class that compares has no hash of its own by that alone.
        if "__eq__" in own and own.get("__hash__", 0) is None:
            del own["__hash__"]
        plain = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots, kw_only=kw_only)
        made: Any = plain(cls)
        for name, method in _methods(made, frozen=frozen, eq=eq).items():
            if name not in own:
                setattr(made, name, method)
        if frozen and slots and "__reduce__" not in own:
            made.__getstate__, made.__setstate__ = _get_state, _set_state
        made.__init__ = _Init(made, frozen=frozen)
        if frozen:
            made.__replace__ = _Replace(made)
        return made

    return made_of if cls is None else made_of(cls)


def _replaced(thing: Any, /, **changes: object) -> Any:
    """A copy of a thing with other values in some fields."""
    own = getattr(thing, "__replace__", None)
    return dataclasses.replace(thing, **changes) if own is None else own(**changes)


if TYPE_CHECKING:
    from dataclasses import dataclass, replace
else:
    dataclass, replace = _record, _replaced
