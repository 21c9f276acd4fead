"""Working points of test cases from ngspice, the circuit simulator, run as an outside program.

A plain operating point finds the wrong answer: `I=P/V` without start values often ends at the collapsed,
unstable solution, which satisfies Kirchhoff too, and at the kink of a current limit ngspice may not
converge at all. So every deck starts from the no-load point (`.nodeset`) and sweeps the constant-power
loads from nothing to full, each step starting from the last. An answer counts only where the sweep reached
the end and the Jacobian is positive definite there; else the oracle is silent on that case. Many decks run
in one process, because starting it costs more than solving.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import numpy.typing as npt

from .dense_homotopy import DenseNetwork, incidence, no_load_point
from .plain import POWER_LAW_FLOOR_V, Case, Element

Vector = npt.NDArray[np.float64]
Printed = dict[int, float]

#: Below this share of its no-load voltage a constant-power load is written as a resistor, so that ngspice's
#: own iteration cannot run into 1/0; an answer that stands there is not accepted.
_FLOOR_SHARE: Final = 0.25
_OPTIONS: Final = ".options reltol=1e-9 vntol=1e-10 abstol=1e-10 itl1=500"
#: Without the detours that ngspice takes where a step fails; they cost half of the time, mostly where a
#: point has ceased to exist.
_STRAIGHT: Final = f"{_OPTIONS} gminsteps=0 srcsteps=0"
#: Tried in this order; where one step ends astride the kink of a limit, another often does not.
_SWEEPS: Final = {"dc Vshare 0 1 0.02": _STRAIGHT, "dc Vshare 0 1 0.0078125": _OPTIONS}
_AT_ONCE: Final = 50
_VALUE = re.compile(r"^v\((\d+)\)\[.*\] = ([-+0-9.eE]+)$", re.MULTILINE)
_MARK = "groundstrap-case"


def _across(element: Element) -> str:
    """Write the element's voltage; node 0 has no vector of its own."""
    start = f"v({element.start})" if element.start else "0"
    end = f"v({element.end})" if element.end else "0"
    return f"({start}-{end})"


def _regulated_a(element: Element) -> str:
    set_v, limit_a, droop_ohm = element.values
    return f"min(max(({set_v!r}-{_across(element)})/{droop_ohm!r},0),{limit_a!r})"


def _power_w(case: Case, element: Element) -> str:
    if element.feeds is None:
        return repr(element.values[0])
    output = case.elements[element.feeds]
    efficiency, idle_w = element.values
    return f"({_across(output)}*{_regulated_a(output)}/{efficiency!r}+{idle_w!r})"


def _current(case: Case, element: Element, floor_v: float) -> str:
    """Write the current from start to end as an expression of the element's voltage."""
    u, values = _across(element), element.values
    if element.law == "HEATED":
        ohm, kappa = values
        return f"2*{u}/({ohm!r}+sqrt({ohm * ohm!r}+{4 * kappa!r}*{u}*{u}))"
    if element.law == "BATTERY":
        emf_v, discharge_ohm, charge_ohm = values
        # Written as a line and a bend: a sum of two half-lines would have no slope at all in the bend.
        bend_s = 1 / charge_ohm - 1 / discharge_ohm
        return f"({u}-{emf_v!r})/{discharge_ohm!r}+max({u}-{emf_v!r},0)*({bend_s!r})"
    if element.law == "REGULATED":
        return f"-{_regulated_a(element)}"
    if element.law == "CONSTANT_POWER":
        held = f"max({u},{floor_v!r})"
        return f"v({case.node_count})*{_power_w(case, element)}*{u}/({held}*{held})"
    if element.law == "POWER_LAW":
        ref_a, ref_v, exponent = values
        return f"{ref_a!r}*pow(max({u},{POWER_LAW_FLOOR_V!r})/{ref_v!r},{exponent!r})"
    raise ValueError(f"no expression for {element.law}; write it as a part of its own")


def _parts(case: Case, floor_v: Vector, start_v: Vector) -> list[str]:
    """Write the elements and the start values; node `node_count` stands at the share of the loads."""
    lines = ["* one network"]
    for index, element in enumerate(case.elements):
        ends = f"{element.start} {element.end}"
        if element.law == "RESISTOR":
            if np.isfinite(element.values[0]):
                lines.append(f"R{index} {ends} {element.values[0]!r}")
        elif element.law == "CONSTANT_CURRENT":
            lines.append(f"I{index} {ends} {element.values[0]!r}")
        else:
            lines.append(f"B{index} {ends} I={_current(case, element, float(floor_v[index]))}")
    lines.append(".nodeset " + " ".join(f"v({k})={start_v[k]:.9f}" for k in range(1, case.node_count)))
    return lines


def deck(case: Case, start_v: Vector, floor_v: Vector, options: str = _OPTIONS) -> str:
    """Return the ngspice deck of a case from `start_v` (V per node), for a sweep of `Vshare`."""
    lines = _parts(case, floor_v, start_v)
    return "\n".join([*lines, f"Vshare {case.node_count} 0 1", options, ".end", ""])


def alterable_deck(case: Case, start_v: Vector, floor_v: Vector) -> str:
    """Return the deck of a case whose load powers are sources `Vwatts<index>`, to be altered (no converters).

    Only constant power is a product with the share, so each such load gets a share of its own, in watts.
    """
    lines = _parts(case, floor_v, start_v)
    for index, element in enumerate(case.elements):
        if element.law == "CONSTANT_POWER":
            held = f"v({case.node_count})*{element.values[0]!r}*"
            at = next(k for k, line in enumerate(lines) if line.startswith(f"B{index} "))
            lines[at] = lines[at].replace(held, f"v({case.node_count + index})*")
            lines.append(f"Vwatts{index} {case.node_count + index} 0 {element.values[0]!r}")
    return "\n".join([*lines, _OPTIONS, ".end", ""])


def _without_converters(case: Case, node_v: Vector | None = None) -> Case:
    """Replace every converter input by the constant power it draws at `node_v` (any, where that is None)."""

    def frozen(element: Element) -> Element:
        if element.feeds is None:
            return element
        watts = 1.0
        if node_v is not None:
            output = case.elements[element.feeds]
            set_v, limit_a, droop_ohm = output.values
            output_v = float(node_v[output.start] - node_v[output.end])
            output_a = min(max((set_v - output_v) / droop_ohm, 0.0), limit_a)
            efficiency, idle_w = element.values
            watts = output_v * output_a / efficiency + idle_w
        return replace(element, values=(watts,), feeds=None)

    return replace(case, elements=tuple(frozen(element) for element in case.elements))


def _prints(case: Case) -> list[str]:
    """Print the last point of the sweep: the node voltages and, as node `node_count`, the share reached."""
    return [f"print v({k})[length(v({k}))-1]" for k in range(1, case.node_count + 1)]


def _run(executable: str, decks: Sequence[str], prints: Sequence[Sequence[str]], sweep: str) -> list[Printed]:
    """Run decks in few ngspice processes; return the printed voltages of each, {} where it printed none."""
    answers: list[Printed] = [{} for _ in decks]
    first = 0
    while first < len(decks):
        text = _run_once(executable, decks[first:], prints[first:], sweep)
        parts = re.split(rf"^{_MARK} ", text, flags=re.MULTILINE)[1:]
        for offset, part in enumerate(parts):
            answers[first + offset] = {int(k): float(v) for k, v in _VALUE.findall(part)}
        # It may crash on a network that has no working point; go on with the next one.
        first += max(len(parts), 1)
    return answers


def _run_once(executable: str, decks: Sequence[str], prints: Sequence[Sequence[str]], sweep: str) -> str:
    """Run decks in one ngspice process and return what it printed."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        script = ["* many networks", ".control", "set numdgt=15"]
        for index, text in enumerate(decks):
            (folder / f"case{index}.cir").write_text(text, encoding="ascii")
            # `destroy all` first: after a failed analysis `print` would show the previous network's values.
            script += [f"source case{index}.cir", "destroy all", f"echo {_MARK} {index}", sweep]
            script += [*prints[index], "remcirc"]
        script += ["quit", ".endc", ".end", ""]
        (folder / "all.cir").write_text("\n".join(script), encoding="ascii")
        done = subprocess.run(
            [executable, "-b", "all.cir"],
            cwd=folder,
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
    return done.stdout


def _accept(case: Case, printed: Printed, floor_v: Vector) -> Vector | None:
    """Return the node voltages where the sweep was completed, above the floors and stable; else None."""
    if set(printed) != set(range(1, case.node_count + 1)) or abs(printed[case.node_count] - 1) > 1e-12:
        return None
    node_v = np.array([0.0, *(printed[k] for k in range(1, case.node_count))])
    drop_v = incidence(case).T @ node_v[1:]
    power = np.array([element.law == "CONSTANT_POWER" for element in case.elements])
    if not np.all(np.isfinite(node_v)) or np.any(drop_v[power] <= floor_v[power]):
        return None
    stable = DenseNetwork(_without_converters(case, node_v)).look(node_v, 1.0) is not None
    return node_v if stable else None


def no_load_start_v(case: Case) -> Vector:
    """Return the node voltages in V to start from: with every constant-power load off, else a flat guess."""
    start_v = no_load_point(_without_converters(case))
    return np.array(case.start_v) if start_v is None else start_v


def floors_v(case: Case, start_v: Vector) -> Vector:
    """Return per element the voltage in V below which its constant power is written as a resistor."""
    return np.maximum(_FLOOR_SHARE * (incidence(case).T @ start_v[1:]), 0.5)


def working_points(
    executable: str,
    cases: Sequence[Case],
    *,
    again: Sequence[bool] | None = None,
    starts: Sequence[Vector] | None = None,
) -> list[Vector | None]:
    """Return per case the node voltages in V of its stable working point, or None where ngspice is silent.

    `again` says which silent cases are worth a second sweep (all, unless given): ngspice is slow where none
    exists. `starts` are the voltages to begin each from, where its own no-load point is not worth its time.
    """
    starts = starts if starts is not None else [no_load_start_v(case) for case in cases]
    floors = [floors_v(case, start_v) for case, start_v in zip(cases, starts, strict=True)]
    answers: list[Vector | None] = [None] * len(cases)
    for number, (sweep, options) in enumerate(_SWEEPS.items()):
        first_time = number == 0
        silent = [
            k
            for k, answer in enumerate(answers)
            if answer is None and (first_time or again is None or again[k])
        ]
        for first in range(0, len(silent), _AT_ONCE):
            chunk = silent[first : first + _AT_ONCE]
            decks = [deck(cases[k], starts[k], floors[k], options) for k in chunk]
            printed = _run(executable, decks, [_prints(cases[k]) for k in chunk], sweep)
            for k, values in zip(chunk, printed, strict=True):
                answers[k] = _accept(cases[k], values, floors[k])
    return answers
