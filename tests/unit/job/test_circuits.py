"""Paths, points, returns and lengths of circuits, each worked out by hand."""

import pytest

from groundstrap.job import Job
from groundstrap.model import Circuit, GearKind, PartKind, Situation, State
from tests.support.jobs import changed, circuit, faults, job, only_fault


def lengths(found: Circuit) -> list[float]:
    return [round(wire.length_m, 6) for wire in found.path if hasattr(wire, "length_m")]


@pytest.mark.parametrize(
    ("steps", "keys", "expected"),
    [
        # fuse at the battery: no cable before it, all behind it
        pytest.param("battery, fuse, fan", "length: 2 m", [2.0], id="fuse at the start"),
        pytest.param("battery, fuse, length: 30 cm, fan", "length: 2 m", [1.7, 0.3], id="fuse at the end"),
        pytest.param(
            "battery, length: 30 cm, fuse, length: 20 cm, fan", "", [0.3, 0.2], id="all pieces written"
        ),
        pytest.param(
            "battery, length: 10 cm, fuse, rocker, fan", "length: 3 m", [0.1, 1.4, 1.5], id="equal shares"
        ),
        pytest.param("panel 1, fuse, rocker, fan", "length: 3 m", [0.2, 2.8], id="20 cm in one place"),
        pytest.param(
            "panel 1, fuse, rocker, relay one, panel 2", "", [0.2, 0.2, 0.2], id="no length in one place"
        ),
        pytest.param(
            "battery, wire: 6 mm2, fuse, {wire: 4 mm2, length: 1 m}, fan",
            "length: 3 m",
            [2.0, 1.0],
            id="the rest is the cable step without a length",
        ),
        pytest.param(
            "battery, {wire: 6 mm2, length: 1 m}, wire: 4 mm2, fan",
            "length: 3 m",
            [1.0, 2.0],
            id="step in size",
        ),
        pytest.param("battery, length: 6 ft, fuse, fan", "length: 12 ft", [1.8288, 1.8288], id="feet"),
        # a share that is less than what is written of it: 2.5 m and what is left of 3 m on equal terms
        pytest.param(
            "battery, length: 2.5 m, fuse, rocker, fan", "length: 3 m", [2.5, 0.25, 0.25], id="long piece"
        ),
    ],
)
def test_length_rule(steps: str, keys: str, expected: list[float]) -> None:
    assert lengths(circuit(steps, keys)) == expected


ROUTES = """\
routes:
  - {from: engine bay, to: dash, length: 1.5 m}
  - {from: dash, to: boot, length: 2.5 m, laid: loom, with: 3}
  - {from: engine bay, to: boot, length: 5 m}
"""


def routed(steps: str, keys: str = "") -> Circuit:
    line = f"  test: {{path: [{steps}]{', ' + keys if keys else ''}}}\n"
    return job(more=line + ROUTES).installation.circuits["test"]


def test_cable_takes_the_shortest_way() -> None:
    # 1.5 + 2.5 m by the dash, not 5 m
    found = routed("battery, fuse, fan")
    assert lengths(found) == [4.0]
    stretches = found.wires[0].stretches
    assert [(s.zone, s.length_m, s.laid, s.route, s.others) for s in stretches] == [
        ("engine bay", 0.75, None, "engine bay to dash", 0),
        ("cabin", 0.75, None, "engine bay to dash", 0),
        ("cabin", 2.5, "loom", "dash to boot", 3),
    ]
    # the return runs the same way back
    assert [s.route for s in found.wires[1].stretches] == [
        "dash to boot",
        "engine bay to dash",
        "engine bay to dash",
    ]


def test_length_takes_what_routes_leave() -> None:
    assert lengths(routed("battery, fuse, rocker, fan", "length: 4.5 m")) == [1.5, 3.0]


def test_a_fuse_near_the_far_end_within_one_place_is_not_on_the_near_end() -> None:
    """The default of 20 cm is a gap's, not what a written piece uses up."""
    more = "  test: {path: [battery, fuse, length: 20 cm, bar]}\n"
    bar = ("gear:\n", "gear:\n  bar: {kind: block, at: engine bay}\n")
    found = job(bar, more=more).installation.circuits["test"]
    assert lengths(found) == [0.2, 0.2]
    assert found.parts[0].distance_m == 0.2


def test_a_return_within_one_place_is_short_where_the_way_out_came_by_routes() -> None:
    more = "  test: {path: [battery, fuse, fan], return: minus bar}\n" + ROUTES
    bar = ("gear:\n", "gear:\n  minus bar: {kind: block, at: boot}\n")
    found = job(bar, more=more).installation.circuits["test"]
    assert lengths(found) == [4.0]
    assert found.wires[-1].length_m == pytest.approx(0.2)


NEAR = "  box: {kind: block, at: boot}\n  bar: {kind: block, at: dash}\n"
APART = ("  test: {path: [box, fuse, fan], length: 60 cm, return: ", "}\n")


def apart(back: str, routes: str = ROUTES) -> Job:
    """A fan beside its box, the negative led elsewhere."""
    return job(("gear:\n", f"gear:\n{NEAR}"), more=back.join(APART) + routes)


def test_a_return_to_another_place_than_where_the_way_out_began_is_as_long_as_the_route() -> None:
    # boot to engine bay 4 m, by the dash; to the dash 2.5 m; the way out has its written 60 cm
    assert [wire.length_m for wire in apart("battery -").installation.circuits["test"].wires] == [0.6, 4.0]
    dash = apart("bar").installation.circuits["test"].wires[-1]
    assert (dash.length_m, dash.borrowed, dash.stretches[0].route) == (2.5, False, "dash to boot")
    drawn = apart("[wire: 6 mm2, bar]").installation.circuits["test"]
    assert [wire.length_m for wire in drawn.wires] == [0.6, 2.5]
    assert drawn.return_apart
    # with a route from where the box is: of the same length as the way out, as before
    assert [wire.length_m for wire in apart("box").installation.circuits["test"].wires] == [0.6, 0.6]


def test_a_return_within_one_place_is_short_whatever_length_the_way_out_has() -> None:
    more = "  test: {path: [battery, fuse, fan], length: 4.5 m, return: box}\n"
    found = job(("gear:\n", f"gear:\n{NEAR}"), more=more).installation.circuits["test"]
    assert [wire.length_m for wire in found.wires] == [4.5, 0.2]


@pytest.mark.parametrize("back", ["battery -", "[wire: 6 mm2, battery -]"])
def test_a_return_to_elsewhere_that_nobody_measured_is_as_long_as_the_way_out_and_said(back: str) -> None:
    found = apart(back, "")
    circuit = found.installation.circuits["test"]
    assert [(wire.length_m, wire.borrowed) for wire in circuit.wires] == [(0.6, False), (0.6, True)]
    assert circuit.return_apart
    said = [each for each in found.installation.assumptions if each.where == "test return"]
    assert [each.value for each in said if "measure from boot to engine bay" in each.why] == ["0.6 m"]


def test_nothing_is_known_apart_where_nobody_wrote_a_place() -> None:
    more = "  test: {path: [loose, fuse, fan], length: 60 cm}\n"
    found = job(("gear:\n", "gear:\n  loose: {kind: block}\n"), more=more).installation.circuits["test"]
    assert (found.wires[-1].borrowed, found.return_apart) == (True, False)


def test_what_is_measured_of_a_return_takes_nothing_from_the_rest_of_it() -> None:
    """2.5 m by the route to the bar in the dash, then as long as the way out to where no route leads."""
    back = "[bar, wire: 6 mm2, far]"
    far = ("gear:\n", f"gear:\n{NEAR}  far: {{kind: block, at: bow}}\n")
    found = job(far, more=back.join(APART) + ROUTES).installation.circuits["test"]
    assert [(round(wire.length_m, 6), wire.borrowed) for wire in found.wires[1:]] == [
        (2.5, False),
        (0.6, True),
    ]


def test_pieces_longer_than_the_route_are_refused() -> None:
    more = "  test: {path: [battery, length: 6 m, fuse, fan]}\n" + ROUTES
    assert "6 m" in faults(changed(more=more))[0].reason


@pytest.mark.parametrize("keys", ["", ", length: 2 m"], ids=["no length of the whole", "no more in all"])
def test_the_piece_that_nothing_is_written_of_is_named(keys: str) -> None:
    fault = only_fault(more=f"  test: {{path: [battery, fuse, length: 2 m, fan]{keys}}}\n")
    assert "from battery to fuse" in fault.reason


def test_own_laying_of_a_cable_rules() -> None:
    found = routed("battery, fuse, {wire: 6 mm2, laid: conduit, with: 2}, fan")
    assert {(s.laid, s.others) for s in found.wires[0].stretches} == {("conduit", 2)}
    assert routed("battery, fuse, fan", "laid: free").wires[1].stretches[0].laid == "free"


def test_cable_keys_of_the_circuit_and_of_the_step() -> None:
    found = circuit(
        "battery, fuse, {wire: 6 mm2, colour: red}, fan",
        "length: 3 m, material: tinned copper, colour: black, insulation: 105 degC, label: 12",
    )
    out, back = found.wires
    assert (out.material, out.colour, out.insulation, out.label) == ("tinned copper", "red", "105 degC", "12")
    assert back.size is not None
    assert (back.size.text, back.colour, back.material) == ("6 mm2", "black", "tinned copper")


def test_two_cables_without_a_joint_meet_in_a_point() -> None:
    found = circuit("battery, {wire: 6 mm2, length: 1 m}, wire: 4 mm2, fan", "length: 3 m")
    assert [(w.start, w.end) for w in found.wires[:2]] == [
        ("battery +", "test joint 1"),
        ("test joint 1", "fan +"),
    ]


def test_circuit_wide_fuse_and_wire() -> None:
    found = circuit("battery, fuse, {fuse: 5 A, holder: tap}, fan", "length: 3 m, wire: 1 mm2, fuse: 10 A")
    assert [part.rating_a for part in found.parts] == [10.0, 5.0]
    assert {wire.size.text for wire in found.wires if wire.size} == {"1 mm2"}


def test_a_part_may_have_its_rating_left_open() -> None:
    part = circuit("battery, {fuse, family: class T}, fan", "length: 3 m").parts[0]
    assert (part.rating_a, part.origin, part.family) == (None, None, "class T")


def test_parts_are_numbered_by_kind_along_the_whole_loop() -> None:
    found = circuit("battery, fuse, switch, fuse, fan", "length: 3 m, return: [fuse, battery -]")
    assert [part.name for part in found.parts] == ["test fuse", "test switch", "test fuse 2", "test fuse 3"]


def test_place_of_a_part_is_that_of_the_nearer_name() -> None:
    near = circuit("battery, length: 1 m, fuse, fan", "length: 3 m").parts[0]
    far = circuit("battery, length: 2 m, fuse, fan", "length: 3 m").parts[0]
    assert [(near.place, near.zone), (far.place, far.zone)] == [
        ("engine bay", "engine bay"),
        ("boot", "cabin"),
    ]


def test_place_of_a_fuse_counts_as_written_only_where_its_distance_is() -> None:
    assert not circuit("battery, fuse, fan", "length: 3 m").parts[0].distance_written
    assert circuit("battery, length: 1 m, fuse, fan", "length: 3 m").parts[0].distance_written
    assert circuit("battery, fuse, length: 1 m, fan", "length: 3 m").parts[0].distance_written


def test_returns() -> None:
    # left out: the negative of the supply, as far as the way out
    own = circuit("battery, fuse, fan", "length: 2 m")
    assert (own.back_end, own.wires[-1].length_m) == ("battery -", 2.0)
    # on the body: at the load's own place
    body = circuit("battery, fuse, fan", "length: 2 m, return: chassis")
    assert (body.back_end, body.wires[-1].length_m) == ("chassis at boot", 0.2)
    # a point alone, or in a list with its cable: as far as the way out
    bus = circuit("battery, fuse, fan", "length: 2 m, return: panel")
    drawn = circuit("battery, fuse, fan", "length: 2 m, return: [wire: 6 mm2, panel]")
    assert [wire.length_m for wire in (bus.wires[-1], drawn.wires[-1])] == [2.0, 2.0]
    assert drawn.wires[-1].key == "circuits/test/return/0"
    # a second feed of one device returns at the first
    second = circuit("battery, fuse, fan", "length: 2 m, return: lamp -")
    assert second.back_end == "lamp -"


def test_return_of_an_existing_circuit_is_assumed_and_not_known() -> None:
    found = circuit("battery, fuse: 5 A, wire: 1 mm2, fan", "length: 2 m, state: existing")
    assert (found.return_known, found.state) == (False, State.EXISTING)
    assert found.wires[-1].size is None
    assert circuit("battery, fuse, fan", "length: 2 m, state: existing, return: chassis").return_known


def test_a_switch_between_two_circuits_belongs_to_the_one_behind() -> None:
    more = (
        "  test: {path: [battery, fuse, rocker], length: 1 m}\n  behind: {path: [rocker, fan], length: 1 m}\n"
    )
    circuits = job(more=more).installation.circuits
    assert circuits["test"].end == "rocker in"
    assert [(part.start, part.end) for part in circuits["behind"].parts] == [("rocker in", "rocker out")]
    assert circuits["behind"].start == "rocker in"


def test_a_selector_ends_circuits_at_its_positions() -> None:
    changes = ("  rocker: {kind: switch, at: dash}", "  rocker: {kind: switch, at: dash, ways: [one, two]}")
    more = (
        "  test: {path: [battery, fuse, rocker one], length: 1 m}\n"
        "  spare: {path: [battery, fuse, rocker two], length: 1 m}\n"
        "  behind: {path: [rocker in, fan], length: 1 m}\n"
    )
    circuits = job(changes, more=more).installation.circuits
    assert (circuits["test"].parts[-1].start, circuits["test"].end) == ("rocker one", "rocker in")
    assert circuits["behind"].start == "rocker in"


def test_coil_of_a_relay_without_a_name() -> None:
    more = (
        "  test: {path: [battery, fuse, {relay: 40 A, coil: 0.15 A}, fan], length: 2 m}\n"
        "  trigger: {path: [battery, fuse: 2 A, rocker, test relay coil], length: 2 m, return: chassis}\n"
    )
    read = job(more=more).installation
    coil = read.loads["test relay coil"]
    assert (coil.relay, coil.claims[0].current_a, coil.place) == ("test relay", 0.15, "engine bay")
    assert read.circuits["trigger"].back_end == "chassis at engine bay"


def test_only_what_the_key_feeds_alone_stops_with_it() -> None:
    keyed = ("  rocker: {kind: switch, at: dash}", "  rocker: {kind: switch, at: dash, when: ignition}")
    one = "  fan: {path: [battery, fuse, rocker, fan], length: 2 m}\n"
    two = "  fan by hand: {path: [battery, fuse, switch, fan], length: 2 m}\n"
    assert Situation.RESTING not in job(keyed, more=one).installation.loads["fan"].runs
    assert Situation.RESTING in job(keyed, more=one + two).installation.loads["fan"].runs
    written = ("kind: fan,", "kind: fan, runs: [resting, driving],")
    assert job(keyed, written, more=one).installation.loads["fan"].runs == {
        Situation.RESTING,
        Situation.DRIVING,
    }


def test_a_ring_behind_the_key_is_keyed() -> None:
    keyed = ("ways: 4}\n  relay", "ways: 4}\n  box: {kind: block, at: boot}\n  relay")
    more = (
        "  feed: {path: [battery, {switch: 20 A, when: ignition}, panel], length: 1 m}\n"
        "  ring: {path: [panel, length: 1 m, box, length: 1 m, panel]}\n"
        "  fan: {path: [box, fan], length: 1 m}\n"
    )
    assert Situation.RESTING not in job(keyed, more=more).installation.loads["fan"].runs


def test_excluding_loads_exclude_each_other() -> None:
    loads = job(("kind: fan,", "kind: fan, never_with: [lamp],")).installation.loads
    assert loads["lamp"].never_with == {"fan"}
    assert loads["fan"].never_with == {"lamp"}


def test_every_point_of_a_bank_in_series() -> None:
    bank = ("chemistry: flooded}", "chemistry: flooded, bank: 2 in series}")
    for text, point in (
        ("battery 1 +", "battery 1 +"),
        ("battery 2 +", "battery +"),
        ("battery 2 -", "battery 1 +"),
    ):
        more = f"  test: {{path: [{text}, fuse, fan], length: 2 m}}\n"
        ties = job(bank, more=more).installation.ties
        assert (point, "test fuse in") in {(tie.start, tie.end) for tie in ties}, text
    more = "  test: {path: [battery 3 +, fuse, fan], length: 2 m}\n"
    assert only_fault(bank, more=more).found == "battery 3 +"


def test_readings_of_every_kind_of_point() -> None:
    more = """\
  test: {path: [battery, {wire: 6 mm2, length: 1 m}, wire: 4 mm2, fuse: 5 A, plug 2, fan], length: 3 m}
readings:
  - when: mains
    using: all
    except: [lamp]
    meter: 0.8 % + 2 digits
    values:
      - battery to test joint 1: 12 mV
      - plug 2: 3 mV
      - plug 2 in to plug 2 out: 3 mV
      - chassis to battery -: 1 mV
      - panel to chassis at boot: 12.1 V
      - test: 3.9 A
      - battery: -8.0 A
      - test fuse: 31 degC
"""
    [read] = job(more=more).installation.readings
    assert read.using == {"fan"}
    assert [(v.red, v.black, v.through) for v in read.values] == [
        ("battery +", "test joint 1", None),
        ("plug 2 in", "plug 2 out", None),
        ("plug 2 in", "plug 2 out", None),
        ("chassis", "battery -", None),
        ("panel", "chassis at boot", None),
        (None, None, "test"),
        (None, None, "battery"),
        (None, None, "test fuse"),
    ]
    assert read.values[6].value == -8.0
    assert read.meter is not None
    assert (read.meter.reading_pct, read.meter.digits) == (0.8, 2.0)


def test_gear_that_cables_pass_is_a_part_by_the_same_word() -> None:
    passed = {str(kind) for kind in GearKind} - {"block", "chassis"}
    assert {str(kind) for kind in PartKind} == passed | {"unknown"}
