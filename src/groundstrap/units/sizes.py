"""Conductor sizes as people write them: copper area, AWG, SAE gauge, or strands by their diameter.

`6 mm` is refused: on a cable it is as often the outside diameter as a slip for mm2, and the two differ by a
factor of ten in copper. `2 x 6 mm2` is refused: two cores of one cable, or two cables side by side?
"""

import math
import re
from typing import Final, Literal

from groundstrap.errors import QuantityError
from groundstrap.records import dataclass
from groundstrap.units.gauges import (
    AWG_GAUGES,
    CIRCULAR_MIL_MM2,
    SAE_GAUGES,
    awg_area_mm2,
    gauge_name,
    sae_area_mm2,
)
from groundstrap.units.kinds import Kind
from groundstrap.units.quantity import format_quantity, parse
from groundstrap.units.spellings import unit_meant

SMALLEST_AREA_MM2: Final = 0.05
LARGEST_AREA_MM2: Final = 1000.0
# common practice: a stranded conductor has a centre and six around it, or more.
FEWEST_STRANDS: Final = 7
MOST_STRANDS: Final = 50_000
THINNEST_STRAND_MM: Final = 0.03
THICKEST_STRAND_MM: Final = 4.0
_LEAST_CORE_MM2: Final = 0.5
"""A number below this is a strand's diameter and no core's area; own judgement. [mm2]"""
_STRANDS_TOO: Final = " Or strands, whose diameter is in mm?"

WANTED: Final = "copper area in mm2 (6 mm2), a gauge (10 AWG or 10 SAE), or strands x diameter (84 x 0.30 mm)"
_LONGEST_TEXT: Final = 60

_NUMBER: Final = r"([0-9]+(?:\.[0-9]+)?)"
_TIMES: Final = r"\s*[x×X*]\s*"
_GAUGE: Final = r"[0-9]+(?:/[0-9]+)?"
_GAUGE_FIRST: Final = re.compile(rf"({_GAUGE})\s*(AWG|SAE)", re.IGNORECASE).fullmatch
_GAUGE_LAST: Final = re.compile(rf"(AWG|SAE)\s*({_GAUGE})", re.IGNORECASE).fullmatch
_STRANDS: Final = re.compile(rf"([0-9]+){_TIMES}{_NUMBER}\s*mm").fullmatch
_AREA: Final = re.compile(rf"{_NUMBER}\s*(?:mm2|mm²)").fullmatch


@dataclass(frozen=True, slots=True)
class ConductorSize:
    """The copper of one conductor; `text` is the size in this project's spelling and reads back as the same.

    `gauge` is set for AWG and SAE (`2/0`), `strands` and `strand_mm` for strands.
    """

    text: str
    system: Literal["metric", "awg", "sae", "strands"]
    area_mm2: float
    gauge: str | None = None
    strands: int | None = None
    strand_mm: float | None = None

    def __str__(self) -> str:
        """Return the size as text."""
        return self.text


class _NoSizeError(Exception):
    """Inside this module only: the text is no size, for this reason; perhaps that was meant."""

    def __init__(self, reason: str, nearest: str | None = None, wanted: str = WANTED) -> None:
        self.reason = reason
        self.nearest = nearest
        self.wanted = wanted
        super().__init__(reason)


def parse_size(text: str) -> ConductorSize:
    """Read a conductor size.

    Parameters
    ----------
    text : str
        What stands in the file or was typed.

    Examples
    --------
    By hand: 84 strands of 0.30 mm are 84 * pi/4 * 0.09 = 5.938 mm2.

    >>> parse_size("6 mm²").area_mm2, parse_size("AWG 00").text
    (6.0, '2/0 AWG')
    >>> round(parse_size("84 x 0.30 mm").area_mm2, 3)
    5.938
    """
    try:
        return _read(text.strip())
    except _NoSizeError as fault:
        found = fault
    nearest = found.nearest
    if nearest is not None and not _reads(nearest):
        nearest = None
    raise QuantityError(given=text, reason=found.reason, wanted=found.wanted, nearest=nearest)


def metric_size(area_mm2: float) -> ConductorSize:
    """Make a size from a copper area.

    Parameters
    ----------
    area_mm2 : float
        Copper area. [mm2]

    Examples
    --------
    >>> metric_size(2.5).text
    '2.5 mm2'
    """
    return parse_size(format_quantity(area_mm2, "mm2"))


def awg_size(gauge: str) -> ConductorSize:
    """Make a size from an AWG gauge, `22` to `4/0`.

    >>> awg_size("2/0").text
    '2/0 AWG'
    """
    return parse_size(f"{gauge} AWG")


def sae_size(gauge: str) -> ConductorSize:
    """Make a size from an SAE gauge, `18` to `4/0`.

    >>> sae_size("10").text
    '10 SAE'
    """
    return parse_size(f"{gauge} SAE")


def _read(text: str) -> ConductorSize:
    if len(text) > _LONGEST_TEXT:
        raise _NoSizeError("far too long for a conductor size")
    if _AREA(text):
        return _metric(text)
    if match := _GAUGE_FIRST(text):
        return _gauge(match[1], match[2].upper())
    if match := _GAUGE_LAST(text):
        return _gauge(match[2], match[1].upper())
    if match := _STRANDS(text):
        return _strands(int(match[1]), float(match[2]))
    raise _diagnosis(text)


def _reads(text: str) -> bool:
    try:
        _read(text)
    except _NoSizeError:
        return False
    return True


def _metric(text: str) -> ConductorSize:
    try:
        area_mm2 = parse(text, Kind.AREA).value
    except QuantityError as fault:
        raise _NoSizeError(fault.reason) from fault
    _require_area(area_mm2)
    return ConductorSize(text=format_quantity(area_mm2, "mm2"), system="metric", area_mm2=area_mm2)


def _gauge(written: str, system: str) -> ConductorSize:
    known = AWG_GAUGES if system == "AWG" else SAE_GAUGES
    gauge = gauge_name(written)
    if gauge not in known:
        raise _unknown_gauge(gauge, system, known)
    if system == "AWG":
        return ConductorSize(f"{gauge} AWG", "awg", awg_area_mm2(gauge), gauge)
    return ConductorSize(f"{gauge} SAE", "sae", sae_area_mm2(gauge), gauge)


def _unknown_gauge(gauge: str, system: str, known: tuple[str, ...]) -> _NoSizeError:
    wanted = f"{system} {known[0]} to {known[-1]}, or copper area in mm2"
    if gauge.isdigit() and int(gauge) > int(known[0]):
        return _NoSizeError(f"{gauge} {system} is thinner than {known[0]}, the thinnest here", wanted=wanted)
    if gauge.endswith("/0") or set(gauge) == {"0"}:
        return _NoSizeError(f"{gauge} {system} is thicker than {known[-1]}, the thickest here", wanted=wanted)
    if "/" in gauge:
        core, cores = gauge.split("/", 1)
        reason = f"{gauge} is {cores} cores of {core} in one cable, or {core} strands?"
        return _NoSizeError(reason, wanted=f"the size of one core, such as {core} {system}")
    reason = f"{system} has no gauge {gauge}"
    return _NoSizeError(reason, wanted=f"one of {system} {', '.join(known)}, or copper area in mm2")


def _strands(strands: int, strand_mm: float) -> ConductorSize:
    if strands < FEWEST_STRANDS:
        raise _NoSizeError(
            f"{strands} strands are too few for a stranded conductor: cores, or cables side by side?",
            wanted="the copper area of one core in mm2, and `parallel` where cables lie side by side",
        )
    if strands > MOST_STRANDS:
        raise _NoSizeError(f"{strands} strands are more than {MOST_STRANDS}")
    if not THINNEST_STRAND_MM <= strand_mm <= THICKEST_STRAND_MM:
        raise _NoSizeError(f"a strand is {THINNEST_STRAND_MM:g} to {THICKEST_STRAND_MM:g} mm across")
    area_mm2 = strands * math.pi / 4 * strand_mm**2
    _require_area(area_mm2)
    # Two decimals, as cable is described, and more only where they were written.
    across = f"{strand_mm:.2f}" if float(f"{strand_mm:.2f}") == strand_mm else repr(strand_mm)
    return ConductorSize(
        f"{strands} x {across} mm", "strands", area_mm2, strands=strands, strand_mm=strand_mm
    )


def _require_area(area_mm2: float) -> None:
    if not SMALLEST_AREA_MM2 <= area_mm2 <= LARGEST_AREA_MM2:
        raise _NoSizeError(f"{area_mm2:.6g} mm2 is outside {SMALLEST_AREA_MM2:g} to {LARGEST_AREA_MM2:g} mm2")


def _diagnosis(text: str) -> _NoSizeError:
    for look in _LOOKS:
        found = look(text)
        if found is not None:
            return found
    return _NoSizeError("not read as a conductor size")


def _empty_or_bare(text: str) -> _NoSizeError | None:
    if not text:
        return _NoSizeError("nothing stands there")
    if re.fullmatch(r"[0-9]+(\.[0-9]+)?", text) and not re.fullmatch("0{2,4}", text):
        return _NoSizeError("a bare number may be mm2, AWG or SAE gauge")
    if not re.search(r"[0-9]", text):
        return _NoSizeError("there is no number in it")
    return None


def _comma(text: str) -> _NoSizeError | None:
    if "," not in text:
        return None
    return _NoSizeError("a comma is not read as a decimal point", re.sub(r"(?<=[0-9]),(?=[0-9])", ".", text))


def _diameter(text: str) -> _NoSizeError | None:
    match = re.fullmatch(rf"[Øø⌀]?\s*{_NUMBER}\s*(mm|in|cm|m)\b.*", text)
    if match is None or re.fullmatch(r".*(mm2|mm²)", text):
        return None
    return _NoSizeError(
        f"{match[1]} {match[2]} is a length: it may be the outside diameter, insulation included",
        wanted="the copper area printed on the cable in mm2, or strands x strand diameter (84 x 0.30 mm)",
    )


def _cores(text: str) -> _NoSizeError | None:
    match = re.fullmatch(rf"(?P<count>[0-9]+){_TIMES}(?P<one>.+)", text)
    match = match or re.fullmatch(rf"(?P<one>.+?){_TIMES}(?P<count>[0-9]+)", text)
    if match is None:
        return None
    count, one = match["count"], match["one"]
    if re.fullmatch(_NUMBER, one):
        return _bare_cores(text, int(count), one)
    if not _reads(one):
        return None
    # No guess: a seven-core cable, seven cables and seven strands are all written like this.
    strands = _STRANDS_TOO if int(count) >= FEWEST_STRANDS else ""
    return _NoSizeError(
        f"{count} cores in one cable, or {count} cables side by side?{strands}",
        wanted=f"the size of one core ({one}), and `parallel: {count}` where cables lie side by side",
    )


def _bare_cores(text: str, count: int, one: str) -> _NoSizeError:
    """Two numbers and no unit: strands of so many mm, or cores of an area that cable is sold in."""
    if count >= FEWEST_STRANDS and float(one) < _LEAST_CORE_MM2:
        return _NoSizeError("the strand diameter has no unit", f"{text} mm")
    strands = _STRANDS_TOO if count >= FEWEST_STRANDS else ""
    return _NoSizeError(
        f"{one} has no unit; {count} cores in one cable, or {count} cables side by side?{strands}",
        wanted=f"the size of one core ({one} mm2), and `parallel: {count}` where cables lie side by side",
    )


def _strands_with_slash(text: str) -> _NoSizeError | None:
    match = re.fullmatch(r"([0-9]+)\s*/\s*(0\.[0-9]+)\s*(?:mm)?", text)
    if match is None:
        return None
    return _NoSizeError("strands are written with an x", f"{match[1]} x {match[2]} mm")


def _gauge_without_system(text: str) -> _NoSizeError | None:
    match = re.fullmatch(
        rf"(?:#|no\.?|ga\.?|gauge)?\s*({_GAUGE})\s*(?:ga\.?|gauge|gage|g|#)?", text, re.IGNORECASE
    )
    if match is None:
        return None
    gauge = gauge_name(match[1])
    reason = "a gauge without its system: an SAE cable has up to 11 % less copper than AWG"
    return _NoSizeError(reason, wanted=f"{gauge} AWG or {gauge} SAE")


def _circular_mils(text: str) -> _NoSizeError | None:
    match = re.fullmatch(rf"{_NUMBER}\s*(kcmil|mcm|cmil|cm)", text, re.IGNORECASE)
    if match is None or match[2].casefold() == "cm":
        return None
    thousands = 1.0 if match[2].casefold() == "cmil" else 1000.0
    area_mm2 = float(match[1]) * thousands * CIRCULAR_MIL_MM2
    return _NoSizeError("circular mils are not read", f"{area_mm2:.2f} mm2")


def _other_words(text: str) -> _NoSizeError | None:
    match = re.fullmatch(rf"({_GAUGE})\s*([A-Z]+)\S*", text, re.IGNORECASE)
    if match is not None and match[2].upper() in {"AWG", "SAE"}:
        reason = f"something stands after {match[2].upper()}"
        return _NoSizeError(reason, f"{match[1]} {match[2].upper()}")
    match = re.fullmatch(rf"{_NUMBER}\s*(\D.*)", text)
    if match is not None and unit_meant(match[2]) == "mm2":
        return _NoSizeError("an area is written in mm2", f"{match[1]} mm2")
    return None


_LOOKS: Final = (
    _empty_or_bare,
    _comma,
    _cores,
    _strands_with_slash,
    _gauge_without_system,
    _circular_mils,
    _other_words,
    _diameter,
)
