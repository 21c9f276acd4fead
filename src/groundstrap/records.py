"""`dataclass` as the standard library has it, for a program that starts often: less is made on import.

The standard library writes and compiles six methods for each class while that is being imported, and looks
at each of its fields with regular expressions: with four hundred classes that was a third of the time that
planning a job took as a process, most of it for what nobody asks for there. Here a class is made with
closures for methods, `__init__` is put together when it is first looked up, from code that was compiled once
for all classes with as many fields, and what `dataclasses.fields` reads is left to the standard library and
made when somebody reads it. What is frozen fills its slots directly, when it is made and when `replace`
makes a changed copy: each of the two takes half as long. A type checker sees the standard library's.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, Field
from functools import lru_cache
from operator import attrgetter
from reprlib import recursive_repr
from types import CodeType, FunctionType, MemberDescriptorType
from typing import TYPE_CHECKING, Any, ClassVar, Final, NamedTuple, TypeVar, get_origin

__all__ = ["dataclass", "replace"]

_Class = TypeVar("_Class", bound=type[Any])
_Values = Callable[[object], tuple[object, ...]]


class _Factory:
    """Stands for a default that is made anew for each instance."""

    def __repr__(self) -> str:
        return "<factory>"


_FACTORY: Final = _Factory()


class _Entry(NamedTuple):
    """A field as its class wrote it."""

    name: str
    type: object
    by_name: bool
    """Whether a call has to name it."""
    value: Any
    """Its default, where that is one value; else MISSING."""
    factory: Any = MISSING
    """What makes its default; MISSING where it has none that is made."""
    init: bool = True
    shown: bool = True
    compared: bool = True
    told: Any = MISSING
    """What `dataclasses.field` returned, where that was called."""


_Entries = Mapping[str, _Entry]


class _Init:
    """In the place of `__init__` until that is looked up for the first time."""

    __slots__ = ("frozen", "of")

    of: type

    def __init__(self, *, frozen: bool) -> None:
        self.frozen = frozen

    def __get__(self, instance: object, owner: type | None = None) -> object:
        init = _init(self.of, frozen=self.frozen)
        self.of.__init__ = init  # type: ignore[misc]
        return init if instance is None else init.__get__(instance)


def _init(of: type, *, frozen: bool) -> Callable[..., None]:
    """Put `__init__` of a class together by its fields."""
    entries: list[_Entry] = list(of.__record__.values())  # type: ignore[attr-defined]
    in_order = [each for each in entries if each.init and not each.by_name]
    by_name = [each for each in entries if each.init and each.by_name]
    names: dict[str, object] = {"_factory": _FACTORY, "_put": object.__setattr__}
    shapes = tuple(_shape(of, number, each, names, frozen=frozen) for number, each in enumerate(entries))
    code = _init_code(shapes, frozen=frozen, checked=hasattr(of, "__post_init__"))
    code = code.replace(co_varnames=("self", *(each.name for each in (*in_order, *by_name))))
    init: Any = FunctionType(code, names, "__init__", tuple(_defaults(in_order).values()))
    init.__kwdefaults__ = _defaults(by_name)
    init.__qualname__, init.__module__ = f"{of.__qualname__}.__init__", of.__module__
    told = {each.name: each.type for each in entries if each.init}
    init.__annotations__ = {**told, "return": None}
    return init  # type: ignore[no-any-return]


class _Shape(NamedTuple):
    """What code of a field hangs on, beside its name where that is not put into a slot."""

    given: bool
    by_name: bool
    made: bool
    kept: bool
    name: str


def _shape(of: type, number: int, entry: _Entry, names: dict[str, object], *, frozen: bool) -> _Shape:
    """The shape of a field; what its code calls is written into the names that the code sees."""
    slot = getattr(of, entry.name, None) if frozen else None
    name = entry.name
    if isinstance(slot, MemberDescriptorType):
        names[f"_put_{number}"], name = slot.__set__, ""
    given, made = entry.init, entry.factory is not MISSING
    if made:
        names[f"_make_{number}"] = entry.factory
    elif not given:
        names[f"_default_{number}"] = entry.value
    return _Shape(given, entry.by_name, made, given or made or entry.value is not MISSING, name)


# Two classes with fields of the same shapes have the same code, but for the names of arguments.
@lru_cache(maxsize=512)
def _init_code(shapes: tuple[_Shape, ...], *, frozen: bool, checked: bool) -> CodeType:
    in_order = [f"given_{number}" for number, each in enumerate(shapes) if each.given and not each.by_name]
    by_name = [f"given_{number}" for number, each in enumerate(shapes) if each.given and each.by_name]
    body = []
    for number, each in enumerate(shapes):
        value = f"given_{number}" if each.given else f"_default_{number}"
        if each.made:
            made = f"_make_{number}()"
            value = f"{made} if {value} is _factory else {value}" if each.given else made
        if each.kept and frozen:
            body.append(_put(each.name, number, value))
        elif each.kept:
            body.append(f"self.{each.name} = {value}")
    if checked:
        body.append("self.__post_init__()")
    arguments = ["self", *in_order, *(["*", *by_name] if by_name else [])]
    return _compiled(f"def __init__({', '.join(arguments)}):", *(body or ["pass"]))


def _put(name: str, number: int, value: str) -> str:
    """A call that puts a value into a field of `self`: by its name, or without one into its slot."""
    return f"_put(self, {name!r}, {value})" if name else f"_put_{number}(self, {value})"


def _defaults(entries: list[_Entry]) -> dict[str, object]:
    """What stands for arguments that are left out, by name; one without has to come before all with one."""
    found: dict[str, object] = {}
    for each in entries:
        if each.factory is not MISSING or each.value is not MISSING:
            found[each.name] = _FACTORY if each.factory is not MISSING else each.value
        elif found and not each.by_name:
            raise TypeError(f"non-default argument {each.name!r} follows default argument")
    return found


def _compiled(head: str, *body: str) -> CodeType:
    """Compile a function, and return its code."""
    whole = compile("\n ".join([head, *body]), "<record>", "exec")
    return next(each for each in whole.co_consts if isinstance(each, CodeType))


class _Replace:
    """In the place of `__replace__` until that is looked up for the first time."""

    __slots__ = ("of",)

    of: type

    def __get__(self, instance: object, owner: type | None = None) -> object:
        made = _replace(self.of)
        self.of.__replace__ = made  # type: ignore[attr-defined]
        return made if instance is None else made.__get__(instance)


def _replace(of: type) -> Callable[..., Any]:
    """Put a method together that returns a copy with other values in some fields."""
    entries: _Entries = of.__record__  # type: ignore[attr-defined]
    if hasattr(of, "__post_init__") or not all(each.init for each in entries.values()):
        return _replace_by_call(entries)
    names: dict[str, object] = {
        "_new": object.__new__,
        "_set": object.__setattr__,
        "_put": object.__setattr__,
        "_names": frozenset(entries),
    }
    put_by_name = []
    for number, name in enumerate(entries):
        slot = getattr(of, name, None)
        put_by_name.append("" if isinstance(slot, MemberDescriptorType) else name)
        if isinstance(slot, MemberDescriptorType):
            names[f"_put_{number}"] = slot.__set__
    stand_in = {f"field_{number}": name for number, name in enumerate(entries)}
    code = _replace_code(tuple(put_by_name))
    code = code.replace(co_names=tuple([stand_in.get(name, name) for name in code.co_names]))
    made: Any = FunctionType(code, names, "__replace__")
    made.__qualname__, made.__module__ = f"{of.__qualname__}.__replace__", of.__module__
    return made  # type: ignore[no-any-return]


@lru_cache(maxsize=512)
def _replace_code(put_by_name: tuple[str, ...]) -> CodeType:
    return _compiled(
        "def __replace__(old, /, **changes):",
        "if not changes.keys() <= _names:",
        " raise TypeError(f'{old.__class__.__name__} has no {sorted(changes.keys() - _names)}')",
        "self = _new(old.__class__)",
        *[_put(name, number, f"old.field_{number}") for number, name in enumerate(put_by_name)],
        "for name, value in changes.items():",
        " _set(self, name, value)",
        "return self",
    )


def _replace_by_call(entries: _Entries) -> Callable[..., Any]:
    """What `__init__` does beside taking values has to be done for the copy too."""
    asked = [name for name, each in entries.items() if each.init]

    def __replace__(old: Any, /, **changes: object) -> Any:
        for name in changes:
            if name in entries and name not in asked:
                raise ValueError(f"field {name} is declared with init=False, no copy can be given another")
        return old.__class__(**{name: getattr(old, name) for name in asked} | changes)

    return __replace__


class _Fields:
    """In the place of what `dataclasses.fields` reads until somebody does."""

    __slots__ = ("of",)

    of: type

    def __get__(self, instance: object, owner: type | None = None) -> dict[str, Field[Any]]:
        found: dict[str, Field[Any]] = {}
        for base in reversed(self.of.__mro__[1:]):
            found |= getattr(base, "__dataclass_fields__", {})
        entries: _Entries = self.of.__record__  # type: ignore[attr-defined]
        own = [entries[name] for name in self.of.__annotations__ if name in entries]
        defaults = {each.name: each.value for each in own if each.value is not MISSING}
        defaults |= {each.name: each.told for each in own if each.told is not MISSING}
        told = {"__annotations__": {each.name: each.type for each in own}, "__module__": self.of.__module__}
        # Without words of its own a class gets its signature for them, which takes longer than all the rest.
        told["__doc__"] = self.of.__name__
        alike = type(self.of.__name__, (), told | defaults)
        plain: Any = dataclasses.dataclass(
            init=False, repr=False, eq=False, kw_only=any(e.by_name for e in own if e.told is MISSING)
        )
        found |= plain(alike).__dataclass_fields__
        self.of.__dataclass_fields__ = found  # type: ignore[attr-defined]
        return found


class _Params(NamedTuple):
    """What a class was made with, for whatever of the standard library wants to know."""

    frozen: bool
    eq: bool
    init: bool = True
    repr: bool = False
    order: bool = False
    unsafe_hash: bool = False


def _values_of(names: tuple[str, ...]) -> _Values:
    """A function that returns some attributes of a thing as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda thing: tuple(getattr(thing, name) for name in names)


@recursive_repr()
def _represent(self: Any) -> str:
    shown = ", ".join(f"{e.name}={getattr(self, e.name)!r}" for e in self.__record__.values() if e.shown)
    return f"{self.__class__.__qualname__}({shown})"


def _equality(values: _Values) -> Callable[[object, object], object]:
    def __eq__(self: object, other: object) -> object:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    return __eq__


def _refuse_to_set(_: object, name: str, __: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(_: object, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _get_state(self: Any) -> list[object]:
    return [getattr(self, name) for name in self.__record__]


def _set_state(self: Any, state: list[object]) -> None:
    for name, value in zip(self.__record__, state, strict=True):
        object.__setattr__(self, name, value)


def _entries(cls: type, *, kw_only: bool) -> dict[str, _Entry]:
    """Fields of a class: those of its parents, then its own."""
    found: dict[str, _Entry] = {}
    for base in reversed(cls.__mro__[1:]):
        found |= vars(base).get("__record__", {})
    for name, type_ in cls.__annotations__.items():
        if not _is_of_the_class(type_):
            default = getattr(cls, name, MISSING)
            if isinstance(default, MemberDescriptorType):
                default = MISSING
            if isinstance(default, Field):
                found[name] = _told_entry(name, type_, default, kw_only=kw_only)
            else:
                found[name] = _Entry(name, type_, kw_only, default)
    return found


def _told_entry(name: str, type_: object, told: Field[Any], *, kw_only: bool) -> _Entry:
    by_name = told.kw_only = kw_only if told.kw_only is MISSING else bool(told.kw_only)
    made = told.default_factory
    return _Entry(name, type_, by_name, told.default, made, told.init, told.repr, bool(told.compare), told)


def _is_of_the_class(type_: object) -> bool:
    """Whether an annotation says that something is not a field."""
    if isinstance(type_, str):
        return type_.startswith(("ClassVar", "typing.ClassVar"))
    return type_ is ClassVar or get_origin(type_) is ClassVar


def _methods(entries: _Entries, *, frozen: bool, slots: bool, eq: bool) -> dict[str, Any]:
    """Everything that a class gets where it has none of its own."""
    found: dict[str, Any] = {
        "__repr__": _represent,
        "__init__": _Init(frozen=frozen),
        "__replace__": _Replace(),
    }
    if eq:
        values = _values_of(tuple(each.name for each in entries.values() if each.compared))
        found["__eq__"] = _equality(values)
        found["__hash__"] = (lambda self: hash(values(self))) if frozen else None
    if frozen:
        found |= {"__setattr__": _refuse_to_set, "__delattr__": _refuse_to_delete}
        if slots:
            found |= {"__getstate__": _get_state, "__setstate__": _set_state}
    found["__match_args__"] = tuple(each.name for each in entries.values() if each.init and not each.by_name)
    return found


def _with_slots(cls: Any, own: dict[str, Any], entries: _Entries) -> Any:
    """The same class once more, with a slot for each of its fields that no parent has one for."""
    taken = {name for base in cls.__mro__[1:-1] for name in _slots_of(base)}
    for name in (*entries, "__dict__", "__weakref__"):
        own.pop(name, None)
    own["__slots__"] = tuple(name for name in entries if name not in taken)
    own["__qualname__"] = cls.__qualname__
    return type(cls)(cls.__name__, cls.__bases__, own)


def _slots_of(base: type) -> Iterator[str]:
    slots = vars(base).get("__slots__", ())
    return iter((slots,) if isinstance(slots, str) else slots)


def _without_marks(cls: type, entries: _Entries) -> None:
    """Put the default of each own field, or nothing, where the class has what `field` returned."""
    for name, entry in entries.items():
        if isinstance(vars(cls).get(name), Field):
            if entry.value is MISSING:
                delattr(cls, name)
            else:
                setattr(cls, name, entry.value)


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
        entries = _entries(cls, kw_only=kw_only)
        # A class that compares has no hash of its own by that alone.
        if "__eq__" in own and own.get("__hash__", 0) is None:
            del own["__hash__"]
        methods = _methods(entries, frozen=frozen, slots=slots and "__reduce__" not in own, eq=eq)
        added = {name: method for name, method in methods.items() if name not in own}
        added |= {
            "__record__": entries,
            "__dataclass_fields__": _Fields(),
            "__dataclass_params__": _Params(frozen, eq),
        }
        made: Any = cls
        if slots:
            made = _with_slots(cls, own | added, entries)
        else:
            _without_marks(cls, entries)
            for name, value in added.items():
                setattr(cls, name, value)
        for late in added.values():
            if isinstance(late, _Init | _Replace | _Fields):
                late.of = made
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
