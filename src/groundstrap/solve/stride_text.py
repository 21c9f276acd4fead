"""One Newton step of one case, written out for a topology; the sums are those of ``kernel``, in their order.

Only numbers of nodes, chains and parts go into the text. Names in it: for chain c, `r` its ohms, `f` its
volts at no current, `g` and `q` its tangent, `u` the volts across it, `i` its amps; for node n, `v` its
volts.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from groundstrap.solve.topology import Topology

Floats = Sequence[float]


class Stride(NamedTuple):
    """Where a step ended: volts of kept nodes, amps of chains, volts of active parts, the last tangents.

    ``hot_a`` is None in a cold step; ``moved_v`` is inf across a kink.
    """

    node_v: list[float]
    chain_a: list[float]
    active_v: list[float]
    conductance_s: list[float]
    ohm: list[float]
    hot_a: list[float] | None
    moved_v: float


TakesStride = Callable[..., Stride | None]
"""The compiled step; its arguments are those of `ARGUMENTS`. None for a pivot that is not positive."""

ARGUMENTS = "case,ohm,watts,active_v,hot_a,charging,off,hot,secant"
_LISTS = ("hot_parts", "hottest", "emf_v", "ohms", "laws", "sources", "amps", "carries", "pins")


def stride_text(topology: Topology) -> str:
    """Return the text of a function `stride` for a topology."""
    lines = [f"{name}=case.{name}" for name in _LISTS]
    chains = range(len(topology.chains))
    lines += [f"{','.join(f'r{c}' for c in chains)},=ohm"] if chains else []
    lines += ["=".join([*(f"f{c}" for c in chains), "0.0"])] if chains else []
    lines += ["if hot:", *_indented(["pass", *_heat(topology)])]
    for number, cell in enumerate(topology.cells):
        c = cell.chain
        lines.append(f"r{c}+=ohms[{number}][charging[{number}]];f{c}+=emf_v[{number}]")
    lines += [*_loads(topology), *_sources(topology), *_plain(topology)]
    masked = [f"if not carries[{c}]: g{c}=q{c}=0.0" for c in chains]
    lines += ["if carries is not None:", *_indented(masked)] if masked else []
    lines += [*_nodes(topology), *_volts(topology), "a=None"]
    lines += ["if hot:", *_indented(_hot_currents(topology))]
    lines += _kinks(topology)
    lines.append(
        f"return Stride([{_all('v', range(len(topology.kept)))}],[{_all('i', chains)}],w,"
        f"[{_all('g', chains)}],[{_all('r', chains)}],a,m)"
    )
    return "\n ".join([f"def stride({ARGUMENTS}):", *lines])


def _all(letter: str, numbers: range) -> str:
    return ",".join(f"{letter}{number}" for number in numbers)


def _indented(lines: list[str]) -> list[str]:
    return [f" {line}" for line in lines]


def _heat(topology: Topology) -> list[str]:
    """Tangents of ``kernel._heat_tangent``, in loops: written out they compile for longer than they run.

    `hh` and `ee` are the ohms and volts of the chains with heat, in their order.
    """
    if not topology.heated_chains:
        return []
    lines = [
        "hh=[];ee=[]",
        "for i,p in zip(hot_a,hot_parts):",
        " s=i*i;m=n=0.0",
        " for d,k in p: x=k*s;y=1.0-x;t=d/(y*y);m+=t;n+=t*x",
        " hh.append(m+n);ee.append(-2.0*i*n)",
    ]
    for index, chain in enumerate(topology.heated_chains):
        lines.append(f"r{chain}+=hh[{index}];f{chain}=ee[{index}]")
    return lines


def _loads(topology: Topology) -> list[str]:
    """Constant power and power laws; see ``kernel._active``."""
    lines = []
    for c in range(topology.powers):
        lines += [
            f"p=watts[{c}]",
            "if p:",
            f" v=active_v[{c}];i=p/v;s=-i/v;d=1.0+s*r{c}",
            " if not d>0.0: return None",
            f" g{c}=s/d;q{c}=(2.0*i-s*f{c})/d",
            f"else: g{c}=q{c}=0.0",
        ]
    for position, c in enumerate(range(topology.powers, topology.regulated_span.start)):
        lines += [
            f"i,n=laws[{position}];v=active_v[{c}]",
            "if v<FLOOR: v=FLOOR;t=1.0",
            "else: t=1.0 if secant and n<1.0 else n",
            f"i=i*v**n;s=t*i/v;d=1.0+s*r{c};g{c}=s/d;q{c}=(i-s*v-s*f{c})/d",
        ]
    return lines


def _sources(topology: Topology) -> list[str]:
    """Regulated sources: z says whether one was at its limit."""
    lines = []
    for position, c in enumerate(range(topology.regulated_span.start, topology.actives)):
        lines += [
            f"e,l,k=sources[{position}];z{c}=(e-active_v[{c}])*k-l>OVER_LIMIT_A",
            f"if off[{position}]: s=i=0.0",
            f"elif z{c}: s=0.0;i=-l",
            "else: s=k;i=-e*k",
            f"d=1.0+s*r{c};g{c}=s/d;q{c}=(i-s*f{c})/d",
        ]
    return lines


def _plain(topology: Topology) -> list[str]:
    """Constant currents, and chains without an active part."""
    currents = range(topology.current_span.start, topology.current_span.stop)
    lines = [f"g{c}=0.0;q{c}=amps[{position}]" for position, c in enumerate(currents)]
    rest = range(topology.current_span.stop, len(topology.chains))
    return lines + [f"g{c}=1.0/r{c};q{c}=-f{c}*g{c}" for c in rest]


def _nodes(topology: Topology) -> list[str]:
    """Assembly, elimination and substitution of ``kernel.solve_nodes``."""
    kept = range(1, len(topology.kept))
    diagonal = {node: f"d{node}=pins[{node}]" for node in kept}
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
    lines = [*diagonal.values(), *inflow.values(), *entries.values(), "v0=0.0"]
    for step in topology.steps:
        node = step.node
        lines += [f"if not d{node}>0.0: return None", f"d{node}=1.0/d{node}"]
        for (other, slot), joins in zip(step.neighbours, step.joins, strict=True):
            lines.append(f"t=o{slot}*d{node};d{other}-=t*o{slot};b{other}-=t*b{node}")
            lines += [f"o{target}-=t*o{near}" for near, target in joins]
    for step in reversed(topology.steps):
        terms = "".join(f"-o{slot}*v{other}" for other, slot in step.neighbours)
        lines.append(f"v{step.node}=d{step.node}*(b{step.node}{terms})")
    return lines


def _volts(topology: Topology) -> list[str]:
    """Volts and amps of chains and active parts, and how far the loads' volts moved."""
    lines = []
    for c, (start, end) in enumerate(topology.ends_of):
        lines.append(f"u{c}=v{start}-v{end};i{c}=g{c}*u{c}+q{c}")
    lines.append(f"w=[{','.join(f'u{c}-r{c}*i{c}-f{c}' for c in range(topology.actives))}];m=0.0")
    for c in range(topology.regulated_span.start):
        lines.append(f"t=abs(w[{c}]-active_v[{c}])\n if t>m: m=t")
    return lines


def _hot_currents(topology: Topology) -> list[str]:
    """The currents that heat is taken at next; where a wire is very hot, that of the volts across it."""
    if not topology.heated_chains:
        return ["a=[]"]
    amps = ",".join(f"i{c}" for c in topology.heated_chains)
    return [
        "a=[]",
        f"for i,x,y,k,n in zip(({amps},),hh,ee,hottest,hot_a):",
        " if k*i*i>HOT_SHARE: i=current_at(hot_parts[len(a)],x*i+y)",
        " a.append(i);t=abs(i-n)*x",
        " if t>m: m=t",
    ]


def _kinks(topology: Topology) -> list[str]:
    """Batteries that turn and sources that reach or leave their limit: loads stay where they were then."""
    lines = []
    for number, cell in enumerate(topology.cells):
        c = cell.chain
        lines += [
            f"z={'-' if cell.sign < 0 else ''}i{c}>0",
            f"if z!=charging[{number}]:",
            f" charging[{number}]=z",
            f" x,y=ohms[{number}]",
            f" if abs(i{c})*x>AT_REST_V and abs(i{c}*(y-x))>NEXT_STEP_V: m=INFINITE",
        ]
    for position, c in enumerate(range(topology.regulated_span.start, topology.actives)):
        lines.append(f"e,l,k=sources[{position}]")
        lines.append(f"if ((e-w[{c}])*k-l>OVER_LIMIT_A)!=z{c} and not off[{position}]: m=INFINITE")
    smooth = topology.regulated_span.start
    return [*lines, f"if m==INFINITE: w[:{smooth}]=active_v[:{smooth}]"] if smooth else lines
