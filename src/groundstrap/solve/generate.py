"""Straight-line code for one case of a topology: Newton's step and the values, written out, compiled once.

A single case is too small for arrays: what it costs is the interpreter. Written out, the same sums as in
``kernel`` and ``recover`` take microseconds. Only numbers of nodes, chains and branches go into the text,
never names or values.
"""

import math
from collections.abc import Callable, Sequence
from typing import Final

from groundstrap.records import dataclass
from groundstrap.solve.block import POWER_LAW_FLOOR_V
from groundstrap.solve.case import current_at
from groundstrap.solve.kernel import AT_REST_V, HOT_SHARE, NEXT_STEP_V
from groundstrap.solve.network import Law
from groundstrap.solve.stride_text import Stride, TakesStride, stride_text
from groundstrap.solve.topology import Chain, Topology

Floats = Sequence[float]
#: Node volts, branch volts, branch amps and shares of heat, and what chains are short of in volts.
Values = Callable[
    [Sequence[Floats], Floats, Floats, float],
    tuple[list[float], list[float], list[float], list[float], list[float]],
]


#: What the text may use beside its arguments.
_KNOWN: Final[dict[str, object]] = {
    "__builtins__": {},
    "abs": abs,
    "Stride": Stride,
    "current_at": current_at,
    "FLOOR": POWER_LAW_FLOOR_V,
    "HOT_SHARE": HOT_SHARE,
    "NEXT_STEP_V": NEXT_STEP_V,
    "AT_REST_V": AT_REST_V,
    "INFINITE": math.inf,
}


@dataclass(frozen=True, slots=True)
class Code:
    """The compiled functions of one topology."""

    stride: TakesStride
    values: Values


def code_for(topology: Topology) -> Code:
    """Return the code of a topology, compiled at the first call."""
    found = topology.code_cache.get("scalar")
    if not isinstance(found, Code):
        scope: dict[str, object] = {}
        text = "\n".join((stride_text(topology), _values_text(topology)))
        exec(compile(text, "<network>", "exec"), _KNOWN, scope)
        found = Code(scope["stride"], scope["values"])  # type: ignore[arg-type]
        topology.code_cache["scalar"] = found
    return found


def _function(head: str, lines: list[str]) -> str:
    return f"def {head}:\n " + "\n ".join(lines)


def _unpack(names: list[str], source: str) -> list[str]:
    return [f"{','.join(names)},={source}"] if names else []


def _values_text(topology: Topology) -> str:
    """``recover._fill_chain`` for one row: p parameters, c chain amps, v kept volts, h 1 with heat."""
    lines = _unpack([f"c{k}" for k in range(len(topology.chains))], "c")
    lines += [f"n{node}=v[{place}]" for place, node in enumerate(topology.kept)]
    short = []
    for index, chain in enumerate(topology.chains):
        lines += _chain_text(topology, index, chain)
        short.append(f"n{topology.kept[chain.start]}-n{topology.kept[chain.end]}{_sum_of(chain)}")
    branches = range(len(topology.branches))
    sign = {
        part.branch: (index, part.sign) for index, chain in enumerate(topology.chains) for part in chain.parts
    }
    amps = ",".join(f"c{sign[b][0]}" if sign[b][1] > 0 else f"-c{sign[b][0]}" for b in branches)
    heats = ",".join(f"x{b}" if topology.branches[b][0] is Law.HEATED else "0.0" for b in branches)
    nodes = ",".join(f"n{node}" for node in range(topology.node_count))
    volts = ",".join(f"u{b}" for b in branches)
    lines.append(f"return [{nodes}],[{volts}],[{amps}],[{heats}],[{','.join(short)}]")
    return _function("values(p,c,v,h)", lines)


def _sum_of(chain: Chain) -> str:
    return "".join(f"{'-' if part.sign > 0 else '+'}u{part.branch}" for part in chain.parts)


def _chain_text(topology: Topology, index: int, chain: Chain) -> list[str]:
    lines, active = [], -1
    for part in chain.parts:
        branch, law = part.branch, topology.branches[part.branch][0]
        amps = f"c{index}" if part.sign > 0 else f"-c{index}"
        if law is Law.RESISTOR:
            lines.append(f"u{branch}=p[{branch}][0]*{amps}")
        elif law is Law.HEATED:
            lines.append(f"r,k=p[{branch}];x=h*k*c{index}*c{index};x{branch}=x;u{branch}=r*{amps}/(1.0-x)")
        elif law is Law.BATTERY:
            lines.append(f"e,d,k=p[{branch}];i={amps};u{branch}=e+i*(k if i>0.0 else d)")
        else:
            active = branch
    if active >= 0:
        others = "".join(
            f"{'-' if part.sign > 0 else '+'}u{part.branch}" for part in chain.parts if part.branch != active
        )
        lines.append(f"u{active}=n{topology.kept[chain.start]}-n{topology.kept[chain.end]}{others}")
    here = topology.kept[chain.start]
    for node, part in zip(chain.inner, chain.parts, strict=False):
        lines.append(f"n{node}=n{here}{'-' if part.sign > 0 else '+'}u{part.branch}")
        here = node
    return lines
