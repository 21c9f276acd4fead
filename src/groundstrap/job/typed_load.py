"""What a person types of one load, understood: its label and a reading at its own leads.

Nothing is changed in silence: what was read otherwise than typed, or looks like a slip, comes back as one.
"""

from __future__ import annotations

import re
from dataclasses import field
from enum import StrEnum
from typing import Final

from groundstrap.job.data import Data
from groundstrap.job.device_words import KIND_WORDS, PEAKS, WHO_SAYS
from groundstrap.job.forms import UNKNOWN
from groundstrap.job.typed import Amount, Typed
from groundstrap.model import Basis, LoadKind
from groundstrap.records import dataclass, replace
from groundstrap.units import Kind

__all__ = [
    "MOST_ALIKE",
    "SYSTEMS",
    "Slip",
    "SlipKind",
    "Source",
    "Understood",
    "claims_of",
    "in_unit",
    "kind_of",
    "note_commas",
    "number_of",
    "read_label",
    "read_measured",
]


class SlipKind(StrEnum):
    """What was read otherwise than typed, or looks like a slip."""

    COMMA = "a comma was read as a decimal point"
    NO_UNIT = "a number without a unit"
    WATTS_AS_AMPS = "amperes that would be watts"
    AMPS_AS_MILLIAMPS = "amperes that would be milliamperes"
    TOO_SMALL = "less than such a thing draws"
    PRODUCT = "volts times amperes are not the watts"
    NO_VOLTS = "a current read at unknown volts"
    VOLTS_ALONE = "volts alone tell no current"
    FUSE = "a fuse is no draw"
    PEAK = "a peak is no draw"
    OTHER_VOLTS = "volts that the vehicle has not got"
    ABOVE_LABEL = "a reading far above its label"
    OF_ALL = "a reading of all pieces taken for one"
    BOTH_WAYS = "a length out and back was halved"
    LONG = "a length that may be doubled"
    SHORT = "a length that is none"
    DIAMETER = "millimetres that are no size"
    NO_SIZE = "no size of wire"
    RANGE = "the upper end of a range was taken"
    NOT_UNDERSTOOD = "not understood"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One of them: the field, what was typed, what was taken, and what else may have been meant."""

    kind: SlipKind
    field: str
    given: str
    taken: str = ""
    meant: str = ""
    """What to type in that field instead, where that is likely."""
    value: float | None = None
    """Of a current that would be absurd, its power; of a product, what it comes to [W]; of a reading, how
    many times its label it is."""


class Source(StrEnum):
    """What the load is fed from."""

    BATTERY = "battery"
    SOCKET = "socket"
    FUSE_BOX = "fuse box"


@dataclass(slots=True, kw_only=True)
class Understood:
    """What was understood, and the job's text that says it."""

    name: str = "load"
    kind: LoadKind = LoadKind.OTHER
    known_kind: bool = False
    system_v: float = 12.0
    system_said: bool = False
    basis: Basis = Basis.ROAD
    count: int = 1
    power: Amount | None = None
    current: Amount | None = None
    label_v: Amount | None = None
    by: str = ""
    """Who says what is claimed: label, manual, seller."""
    works: str = ""
    readings: dict[str, str] = field(default_factory=dict)
    """Keys and texts of one measurement."""
    fuse: str = ""
    length: str = ""
    """One way; empty where nothing was said."""
    wire: str = ""
    plugged: bool = False
    """Whether it came with a plug for the vehicle's lighter socket."""
    source: Source = Source.BATTERY
    battery: str = "battery"
    place: str = "engine bay"
    source_said: bool = False
    slips: list[Slip] = field(default_factory=list)
    text: str = ""

    def slip(self, kind: SlipKind, where: str, given: str, taken: str = "",
        *, meant: str = "",
             value: float | None = None) -> None:  # fmt: skip
        """Note a slip."""
        self.slips.append(Slip(kind=kind, field=where, given=given, taken=taken, meant=meant, value=value))


_MOST_W: Final[dict[LoadKind, float]] = {
    LoadKind.LED: 500.0, LoadKind.LAMP: 300.0, LoadKind.ELECTRONICS: 600.0, LoadKind.FAN: 500.0,
    LoadKind.PUMP: 700.0, LoadKind.COMPRESSOR: 1500.0, LoadKind.PTC_HEATER: 700.0, LoadKind.HEATER: 1500.0,
    LoadKind.CHARGER: 1500.0, LoadKind.OTHER: 1500.0, LoadKind.MOTOR: 6000.0, LoadKind.INVERTER: 6000.0,
}  # fmt: skip
"""From so many watts a current looks like watts that were typed for amperes. [W] Own judgement."""
_LEAST_RUNNING_A: Final = 0.05
"""Less no motor, pump, heater or lamp draws while it runs. [A] Own judgement."""
_MISMATCH: Final = 1.25
"""So much volts times amperes may differ from the watts beside them. Own judgement."""
_ABOVE_LABEL: Final = 2.0
"""No load draws so many times its label: ohms take 1.44 times as much at 14.4 V as at 12 V, and a label and a
meter are off by less than the rest. Own judgement."""
_OF_ALL: Final = (0.5, 1.5)
"""A reading of one piece so many times its label, over how many there are, may be of all: a clamp is most
easily closed round the one cable that feeds them all. Common practice; the figures are own judgement."""
_OF_ONE: Final = 1.5
"""So many times its label a single piece may take: ohms 1.44 times at 14.4 V. Own judgement."""
MOST_ALIKE: Final = 20
"""More pieces of one load nobody has: what is counted are its lamps or cells. Own judgement."""
_FUSE_OF: Final = r"(?:fuse|sicherung)\s*(?:of|von|:)?\s*"
SYSTEMS: Final = ((12.0, 10.0, 16.0), (24.0, 20.0, 32.0), (48.0, 40.0, 60.0))


def kind_of(named: Typed) -> LoadKind | None:
    """Return the kind of load that somebody's words for it mean; None where they mean none."""
    return next((kind for kind, phrases in KIND_WORDS.items() if named.says(*phrases)), None)


def read_label(made: Understood, label: Typed) -> None:
    """Power, current and voltage that its label says."""
    made.count = label.times if label.times <= MOST_ALIKE else 1
    if label.times > MOST_ALIKE:
        made.slip(SlipKind.NOT_UNDERSTOOD, "label", label.text)
    note_commas(made, "label", label)
    volts = [v for v in label.of(Kind.VOLTAGE) if v.low >= 9.0 * made.system_v / 12.0 - 3.0]
    for amount in label.of(Kind.VOLTAGE):
        if amount.low < amount.value and amount.low >= 6.0:
            made.works = f"{amount.low:g}..{amount.text}"
    powers, currents = ([a for a in label.of(k) if a.value > 0.0] for k in (Kind.POWER, Kind.CURRENT))
    if len(powers) + len(currents) < len(label.of(Kind.POWER, Kind.CURRENT)):
        made.slip(SlipKind.NOT_UNDERSTOOD, "label", label.text)
    for amount in _of_its_fuse(label, currents):
        currents.remove(amount)
        made.fuse = amount.text
        made.slip(SlipKind.FUSE, "label", amount.written, taken=amount.text)
    if not powers and not currents:
        _bare_label(made, label, powers)
    made.power = max(powers, key=lambda amount: amount.value, default=None)
    made.current = max(currents, key=lambda amount: amount.value, default=None)
    system = next((v for v in volts if _is_system(v, made.system_v) and v.low == v.value), None)
    made.label_v = system
    made.by = next((who for who, phrases in WHO_SAYS.items() if label.says(*phrases)), "")
    if label.says(*PEAKS) and (made.power or made.current):
        made.slip(SlipKind.PEAK, "label", label.text)
    _odd_volts(made, label)
    _plausible(made, "label", made.current)
    _product(made)


def _of_its_fuse(label: Typed, currents: list[Amount]) -> list[Amount]:
    """The sizes of a fuse among some currents: `fuse 10 A`, else `10 A fuse`."""
    if label.says("fuse size", "fused at", "abgesichert mit"):
        return list(currents)
    ahead = [a for a in currents if re.search(_FUSE_OF + re.escape(a.written), label.text, re.IGNORECASE)]
    return ahead or [a for a in currents if a.after.startswith(("fuse", "sicherung"))]


def _is_system(volts: Amount, system_v: float) -> bool:
    return any(v == system_v and low <= volts.value <= high for v, low, high in SYSTEMS)


def _bare_label(made: Understood, label: Typed, powers: list[Amount]) -> None:
    if not label.bare:
        if label.text and not label.amounts:
            made.slip(SlipKind.NOT_UNDERSTOOD, "label", label.text)
        return
    number = label.bare[0]
    taken = in_unit(number, "W", Kind.POWER)
    if number.value > 0.0:
        powers.append(taken)
    made.slip(SlipKind.NO_UNIT, "label", number.written, taken=taken.text, meant=f"{number.text} A")


def _odd_volts(made: Understood, label: Typed) -> None:
    """Mains, or the five volts of a small plug: amperes at those are not the vehicle's."""
    for volts in label.of(Kind.VOLTAGE):
        known = any(low <= volts.value <= high or low <= volts.low <= high for _, low, high in SYSTEMS)
        if known or not 0.0 < volts.value <= volts.low:
            continue
        current = made.current
        watts = None if current is None else current.value * volts.value
        if made.power is None and watts is not None:
            text = f"{watts:.6g} W"
            made.power = Amount(written=text, text=text, value=watts, kind=Kind.POWER, low=watts)
        made.current = None
        made.slip(SlipKind.OTHER_VOLTS, "label", volts.written,
                  taken="" if made.power is None else made.power.text, value=watts)  # fmt: skip
        return


def _plausible(made: Understood, where: str, current: Amount | None) -> None:
    """A current that would be absurd, and what may have been meant."""
    if current is None:
        return
    watts = current.value * made.system_v
    if watts > _MOST_W.get(made.kind, 1500.0):
        if where == "measured" and current.value < 1000.0:
            made.slip(SlipKind.AMPS_AS_MILLIAMPS, where, current.written, current.text,
                      meant=f"{number_of(current)} mA", value=watts)  # fmt: skip
        else:
            made.slip(SlipKind.WATTS_AS_AMPS, where, current.written, current.text,
                      meant=f"{number_of(current)} W", value=watts)  # fmt: skip
    elif 0.0 < current.value < _LEAST_RUNNING_A and made.kind not in {
        LoadKind.ELECTRONICS, LoadKind.LED, LoadKind.OTHER, LoadKind.CHARGER,
    }:  # fmt: skip
        meant = f"{number_of(current)} A" if current.text.endswith("mA") else ""
        made.slip(SlipKind.TOO_SMALL, where, current.written, current.text, meant=meant)


def in_unit(number: Amount, unit: str, kind: Kind) -> Amount:
    """Return a number that was typed without a unit in the one that is taken."""
    return replace(number, text=f"{number.text} {unit}", kind=kind)


def number_of(amount: Amount) -> str:
    """Return the number of an amount, as it is written."""
    return amount.text.split(" ")[0]


def _product(made: Understood) -> None:
    power, current = made.power, made.current
    if power is None or current is None:
        return
    low_v = high_v = made.label_v.value if made.label_v is not None else 0.0
    if made.label_v is None:
        low_v, high_v = made.system_v, 1.2 * made.system_v
    least, most = current.value * low_v / _MISMATCH, current.value * high_v * _MISMATCH
    if not least <= power.value <= most:
        volts = made.label_v.text if made.label_v is not None else f"{made.system_v:g} V"
        given = f"{volts}, {current.text}, {power.text}"
        made.slip(SlipKind.PRODUCT, "label", given, value=current.value * (low_v or made.system_v))


def read_measured(made: Understood, typed: Typed) -> None:
    """One measurement at its own leads."""
    if not typed.text:
        return
    note_commas(made, "measured", typed)
    current = next(iter(typed.of(Kind.CURRENT)), None)
    power = next(iter(typed.of(Kind.POWER)), None)
    ohms = next(iter(typed.of(Kind.RESISTANCE)), None)
    volts = next((amount for amount in typed.of(Kind.VOLTAGE) if amount.value > 0.0), None)
    if current is None and power is None and ohms is None and typed.bare:
        number = typed.bare[0]
        current = in_unit(number, "A", Kind.CURRENT)
        made.slip(SlipKind.NO_UNIT, "measured", number.written, taken=current.text)
    what = current or power or ohms
    if what is None or what.value <= 0.0:
        kind = SlipKind.VOLTS_ALONE if volts is not None else SlipKind.NOT_UNDERSTOOD
        made.slip(kind, "measured", typed.text)
        return
    made.readings = {str(what.kind): what.text}
    if what is ohms:
        return
    _plausible(made, "measured", current)
    # What nobody read never stands in the job as if it was: vet says what it takes for it, and why.
    made.readings["voltage"] = UNKNOWN if volts is None else volts.text
    if volts is None:
        made.slip(SlipKind.NO_VOLTS, "measured", what.written)
    at_v = made.system_v if volts is None else volts.value
    _against_label(made, what, what.value if what is power else what.value * at_v)


def _against_label(made: Understood, reading: Amount, read_w: float) -> None:
    """A reading of one piece far above its label: one of the two is not what it was taken for."""
    power_w = 0.0 if made.power is None else made.power.value
    current_w = 0.0 if made.current is None else made.current.value * made.system_v
    label_w, said = max(power_w, current_w), made.power if power_w >= current_w else made.current
    if said is None or not label_w > 0.0:
        return
    times = read_w / label_w
    if made.count > 1 and times > _OF_ONE and _OF_ALL[0] <= times / made.count <= _OF_ALL[1]:
        volts = made.readings.get("voltage", UNKNOWN)
        one = f"{float(number_of(reading)) / made.count:.4g} {reading.text.split(' ')[1]}"
        meant = one if volts == UNKNOWN else f"{one} {volts}"
        made.slip(SlipKind.OF_ALL, "measured", reading.text, said.text, meant=meant, value=times)
    elif times > _ABOVE_LABEL:
        made.slip(SlipKind.ABOVE_LABEL, "measured", reading.text, said.text, value=times)


def note_commas(made: Understood, where: str, typed: Typed) -> None:
    """Note each comma that was read as a decimal point."""
    for amount in typed.amounts:
        if amount.comma:
            made.slip(SlipKind.COMMA, where, amount.written, taken=amount.text)


def claims_of(made: Understood) -> Data:
    """Return what is claimed, as the job file has it."""
    claims: list[dict[str, Data]] = []
    if made.power is not None:
        claims.append({"power": made.power.text})
    if made.current is not None:
        claims.append({"current": made.current.text})
    if made.label_v is not None:
        for claim in claims:
            claim["voltage"] = made.label_v.text
    if not claims:
        return UNKNOWN
    if made.by:
        for claim in claims:
            claim["by"] = made.by
    return claims[0] if len(claims) == 1 else list(claims)
