"""Straight-line code for one case of a topology: nodes, heat and values, written out and compiled once.

A single case is too small for arrays: what it costs is the interpreter. Written out, the same sums as in
``kernel`` and ``recover`` take microseconds. Only numbers of nodes, chains and branches go into the text,
never names or values.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from groundstrap.solve.network import Law
from groundstrap.solve.topology import Chain, Topology

Floats = Sequence[float]
#: Volts of the kept nodes from conductances, sources and pins; None where a pivot is not positive.
Nodes = Callable[[Floats, Floats, Floats], list[float] | None]
#: Ohms and offset volts of each heated chain from the cold ohms and kappas of its parts and its current.
Heat = Callable[[Floats, Floats, Floats], tuple[list[float], list[float]]]
#: Node volts, branch volts, branch amps and shares of heat, and what chains are short of in volts.
Values = Callable[
    [Sequence[Floats], Floats, Floats, float],
    tuple[list[float], list[float], list[float], list[float], list[float]],
]


@dataclass(frozen=True, slots=True)
class Code:
    """The compiled functions of one topology."""

    nodes: Nodes
    heat: Heat
    values: Values


def code_for(topology: Topology) -> Code:
    """Return the code of a topology, compiled at the first call."""
    found = topology.code_cache.get("scalar")
    if not isinstance(found, Code):
        scope: dict[str, object] = {}
        text = "\n".join((_nodes_text(topology), _heat_text(topology), _values_text(topology)))
        exec(compile(text, "<network>", "exec"), {"__builtins__": {}}, scope)
        found = Code(scope["nodes"], scope["heat"], scope["values"])  # type: ignore[arg-type]
        topology.code_cache["scalar"] = found
    return found


def _function(head: str, lines: list[str]) -> str:
    return f"def {head}:\n " + "\n ".join(lines)


def _unpack(names: list[str], source: str) -> list[str]:
    return [f"{','.join(names)},={source}"] if names else []


def _nodes_text(topology: Topology) -> str:
    """Assembly, elimination and substitution of ``kernel.solve_nodes`` for one row."""
    chains, kept = range(len(topology.chains)), range(1, len(topology.kept))
    lines = _unpack([f"g{c}" for c in chains], "g") + _unpack([f"q{c}" for c in chains], "q")
    diagonal = {node: f"d{node}=p[{node}]" for node in kept}
    inflow = {node: f"b{node}=0.0" for node in kept}
    entries = {slot: f"o{slot}=0.0" for slot in range(topology.slot_count)}
    for chain, start, end, slot in topology.ties:
        if start:
            diagonal[start] += f"+g{chain}"
            inflow[start] += f"-q{chain}"
        if end:
            diagonal[end] += f"+g{chain}"
            inflow[end] += f"+q{chain}"
        if slot >= 0:
            entries[slot] += f"-g{chain}"
    lines += [*diagonal.values(), *inflow.values(), *entries.values()]
    for step in topology.steps:
        node = step.node
        lines += [f"if not d{node}>0.0: return None", f"d{node}=1.0/d{node}"]
        for (other, slot), joins in zip(step.neighbours, step.joins, strict=True):
            lines.append(f"t=o{slot}*d{node};d{other}-=t*o{slot};b{other}-=t*b{node}")
            lines += [f"o{target}-=t*o{near}" for near, target in joins]
    for step in reversed(topology.steps):
        terms = "".join(f"-o{slot}*v{other}" for other, slot in step.neighbours)
        lines.append(f"v{step.node}=d{step.node}*(b{step.node}{terms})")
    lines.append(f"return [0.0{''.join(f',v{node}' for node in kept)}]")
    return _function("nodes(g,q,p)", lines)


def _heat_text(topology: Topology) -> str:
    """Tangent of ``kernel._heat_tangent`` for one row."""
    layered = topology.heated
    count = len(layered.branches)
    lines = _unpack([f"r{k}" for k in range(count)], "r") + _unpack([f"k{k}" for k in range(count)], "k")
    for index in range(layered.chains.size):
        lines.append(f"i=a[{index}];s=i*i;m=n=0.0")
        for first, last in layered.spans:
            if index < last - first:
                part = first + index
                lines.append(f"x=k{part}*s;y=1.0-x;t=r{part}/(y*y);m+=t;n+=t*x")
        lines.append(f"h{index}=m+n;e{index}=-2.0*i*n")
    count = layered.chains.size
    lines.append(
        f"return [{','.join(f'h{k}' for k in range(count))}],[{','.join(f'e{k}' for k in range(count))}]"
    )
    return _function("heat(r,k,a)", lines)


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
