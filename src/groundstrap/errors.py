"""Everything Groundstrap raises on purpose, in one tree.

Each error says what was given, what would do and the next step, and carries the same as attributes, so
that a front end can show it in its own way::

    GroundstrapError
    ├── QuantityError      (also ValueError)    a text that is no quantity or no conductor size
    ├── OutOfRangeError    (also ValueError)    a number outside the range that a formula's source covers
    ├── UnknownNameError   (also LookupError)   a name that nothing here has
    ├── TableError                              a damaged reference table, or a look-up it can't answer
    ├── NetworkError                            an installation that can't be turned into a network
    ├── JobError                                a job file with faults; carries all of them as ``Fault``
    ├── NotOnShelfError    (also LookupError)   a job, revision or photo that the shelf does not have
    ├── CallError                               a command or a call used wrongly
    └── CannotDoError                           the tool could not do it: no room on disk, a lost file

``exit_status`` on each class is what a command ends with: 2 where the input or the call is wrong, 3 where
the tool could not do it. A working point that does not exist, a finding and an unknown are answers, not
errors.
"""

import difflib
from collections.abc import Iterable
from typing import ClassVar, Final

from groundstrap.records import dataclass

INPUT_IS_WRONG: Final = 2
COULD_NOT_DO: Final = 3

_LEAST_LIKENESS: Final = 0.6
_KNOWN_NAMES_SHOWN: Final = 12


def _rebuild(cls: type["GroundstrapError"], text: str, state: dict[str, object]) -> "GroundstrapError":
    """Make an error again in another process, without calling its own ``__init__``."""
    error = cls.__new__(cls, text)
    error.args = (text,)
    error.__dict__.update(state)
    return error


class GroundstrapError(Exception):
    """The root: catching it catches everything that Groundstrap raises on purpose."""

    exit_status: ClassVar[int] = INPUT_IS_WRONG

    def __reduce__(self) -> tuple[object, ...]:
        """Let errors cross process borders although their arguments are named."""
        return _rebuild, (type(self), str(self), dict(self.__dict__))


class QuantityError(GroundstrapError, ValueError):
    """A text that is no quantity, no range or no conductor size.

    ``given`` is the text as it stood, ``reason`` what is wrong with it, ``wanted`` what would do and
    ``nearest`` the text that was probably meant.

    >>> print(QuantityError(given="4,5 A", reason="a comma is no decimal point", wanted="a number and a unit",
    ...                     nearest="4.5 A"))
    '4,5 A': a comma is no decimal point; wanted a number and a unit. Did you mean '4.5 A'?
    """

    def __init__(self, *, given: str, reason: str, wanted: str, nearest: str | None = None) -> None:
        """Keep the parts and put them into one sentence."""
        self.given = given
        self.reason = reason
        self.wanted = wanted
        self.nearest = nearest
        super().__init__(f"{shown(given)}: {reason}; wanted {wanted}{_hint(nearest)}")


class OutOfRangeError(GroundstrapError, ValueError):
    """A number outside the range that the source of a formula or a table covers.

    >>> print(OutOfRangeError("conductor_resistance", "temp_c", 293, -60, 250))
    conductor_resistance: temp_c=293 is outside -60 to 250, the range its source covers
    """

    def __init__(self, function: str, name: str, value: float, low: float, high: float) -> None:
        """Keep the parts; the range is that of the source, ends included."""
        self.function = function
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        super().__init__(
            f"{function}: {name}={value:g} is outside {low:g} to {high:g}, the range its source covers"
        )


class UnknownNameError(GroundstrapError, LookupError):
    """A name that nothing here has; names what exists and the nearest of it.

    >>> print(UnknownNameError("zone", "engine bey", ("cabin", "engine bay")))
    unknown zone 'engine bey'; known: cabin, engine bay. Did you mean 'engine bay'?
    """

    def __init__(self, kind: str, given: str, known: Iterable[str], nearest: str | None = None) -> None:
        """Keep the parts; the nearest name is looked for where the caller has none."""
        self.kind = kind
        self.given = given
        self.known = tuple(known)
        self.nearest = nearest if nearest is not None else nearest_name(given, self.known)
        super().__init__(f"unknown {kind} {shown(given)}; known: {listed(self.known)}{_hint(self.nearest)}")


class TableError(GroundstrapError):
    """A reference table that is damaged, or a look-up that it can't answer.

    >>> print(TableError("road_minimum_sizes", "row 3: area_mm2 does not rise", wanted="rising areas"))
    table road_minimum_sizes: row 3: area_mm2 does not rise; wanted rising areas
    """

    def __init__(self, table: str, reason: str, *, wanted: str) -> None:
        """Keep which table, what is wrong with it, and what would do."""
        self.table = table
        self.reason = reason
        self.wanted = wanted
        super().__init__(f"table {table}: {reason}; wanted {wanted}")


class NetworkError(GroundstrapError):
    """An installation that can't be turned into a network, or a network that is not one.

    >>> print(NetworkError("'fan' hangs on nothing", wanted="a path from a supply to it", where=("fan",)))
    'fan' hangs on nothing; wanted a path from a supply to it
    """

    def __init__(self, reason: str, *, wanted: str, where: Iterable[str] = ()) -> None:
        """Keep what is wrong, what would do, and the names it is about."""
        self.reason = reason
        self.wanted = wanted
        self.where = tuple(where)
        super().__init__(f"{reason}; wanted {wanted}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in a file: where it stands, what was found and what would do.

    ``line`` and ``column`` count from 1; 0 where the fault has no place in the text. ``key`` is the path of
    keys to it, such as ``circuits.warmer.length``.

    >>> print(Fault(file="van.yaml", line=7, column=3, key="circuits.fan.length", found="4,5 m",
    ...             wanted="a length such as 1.5 m", nearest="4.5 m"))
    van.yaml:7:3: circuits.fan.length: found '4,5 m', wanted a length such as 1.5 m. Did you mean '4.5 m'?
    """

    file: str
    line: int
    column: int
    key: str
    found: str
    wanted: str
    nearest: str | None = None
    reason: str = ""

    @property
    def text(self) -> str:
        """The fault in one line."""
        file = _printable(self.file)
        place = f"{file}:{self.line}:{self.column}" if self.line > 0 else file
        key = f" {_printable(self.key)}:" if self.key else ""
        found = f"found {shown(self.found)}" if self.found else "found nothing"
        reason = f" ({self.reason})" if self.reason else ""
        return f"{place}:{key} {found}{reason}, wanted {self.wanted}{_hint(self.nearest)}"

    def __str__(self) -> str:
        """The fault in one line."""
        return self.text


class JobError(GroundstrapError):
    """A job file that can't be read; carries every fault that was found, in the order of the text."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        """Keep the faults; the message has one line for each."""
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.text for fault in self.faults))


class NotOnShelfError(GroundstrapError, LookupError):
    """A job, revision or photo that the shelf does not have.

    >>> print(NotOnShelfError("job", "k3", wanted="an id that the list shows"))
    the shelf has no job 'k3'; wanted an id that the list shows
    """

    def __init__(self, kind: str, given: str, *, wanted: str) -> None:
        """Keep what was looked for, and what would do."""
        self.kind = kind
        self.given = given
        self.wanted = wanted
        self.reason = f"the shelf has no {kind} {shown(given)}"
        super().__init__(f"{self.reason}; wanted {wanted}")


class CallError(GroundstrapError):
    """A command or a call used wrongly.

    >>> print(CallError("plan needs a job file", wanted="groundstrap plan JOB"))
    plan needs a job file; wanted groundstrap plan JOB
    """

    def __init__(
        self, reason: str, *, wanted: str, given: str | None = None, nearest: str | None = None
    ) -> None:
        """Keep what is wrong, what would do, and what was given where something was."""
        self.reason = reason
        self.wanted = wanted
        self.given = given
        self.nearest = nearest
        found = f", not {shown(given)}" if given is not None else ""
        super().__init__(f"{reason}; wanted {wanted}{found}{_hint(nearest)}")


class CannotDoError(GroundstrapError):
    """The call was right and the tool could not do it: no room on disk, a file that can't be written.

    >>> print(CannotDoError("can't write van.yaml: no space left", next_step="free some room and try again"))
    can't write van.yaml: no space left; free some room and try again
    """

    exit_status: ClassVar[int] = COULD_NOT_DO

    def __init__(self, reason: str, *, next_step: str) -> None:
        """Keep what failed and what the user can do about it."""
        self.reason = reason
        self.next_step = next_step
        super().__init__(f"{reason}; {next_step}")


def nearest_name(given: str, known: Iterable[str]) -> str | None:
    """Return the known name most like the given one, case aside; None where none is like it.

    >>> nearest_name("Fliming", ("heater", "filament"))
    >>> nearest_name("Filamnt", ("heater", "filament"))
    'filament'
    """
    by_folded: dict[str, str] = {}
    for name in known:
        by_folded.setdefault(name.casefold(), name)
    found = difflib.get_close_matches(given.casefold().strip(), list(by_folded), n=1, cutoff=_LEAST_LIKENESS)
    return by_folded[found[0]] if found else None


def shown(text: str, longest: int = 60) -> str:
    r"""Return a user's text in quotes, safe for a terminal: control characters escaped, long text cut.

    >>> print(shown("6 mm"), shown("a\x1b[2J"))
    '6 mm' 'a\x1b[2J'
    """
    cut = text if len(text) <= longest else text[: longest - 3] + "..."
    return f"'{_printable(cut)}'"


def listed(names: Iterable[str]) -> str:
    """Return names with commas between them, cut after a dozen with the number left out.

    >>> listed(("cabin", "bilge"))
    'cabin, bilge'
    """
    every = tuple(names)
    if not every:
        return "none"
    rest = len(every) - _KNOWN_NAMES_SHOWN
    tail = f" and {rest} more" if rest > 0 else ""
    return ", ".join(every[:_KNOWN_NAMES_SHOWN]) + tail


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)


def _hint(nearest: str | None) -> str:
    if nearest is None:
        return ""
    # A text that has quotes of its own is shown as it would stand in the file.
    told = _printable(nearest) if nearest[:1] == "'" else shown(nearest)
    return f". Did you mean {told}?"
