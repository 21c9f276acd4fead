"""Every sample job reads, and its nodes, lengths and ties are those worked out by hand from its text."""

import pytest

from groundstrap.job import read_job
from groundstrap.model import Basis, Circuit, Origin, Part, Situation, State, SupplyKind, Wire
from tests.support.jobs import SAMPLES, sample

NAMES = sorted(path.name.removesuffix(".job.yaml") for path in SAMPLES.glob("*.job.yaml"))


def wires(circuit: Circuit) -> list[tuple[str, str, float]]:
    return [(wire.start, wire.end, round(wire.length_m, 4)) for wire in circuit.wires]


def ties(installation: object, kind: str) -> set[tuple[str, str]]:
    return {(tie.start, tie.end) for tie in installation.ties if tie.kind == kind}  # type: ignore[attr-defined]


def test_there_are_twelve_samples() -> None:
    assert len(NAMES) == 12


@pytest.mark.parametrize("name", NAMES)
def test_reads_and_hangs_together(name: str) -> None:
    installation = sample(name)
    same = ties(installation, "same")

    def one_point(here: str, there: str) -> bool:
        return here == there or (here, there) in same

    names = [wire.name for circuit in installation.circuits.values() for wire in circuit.wires]
    assert len(set(names)) == len(names)
    for circuit in installation.circuits.values():
        if circuit.state is State.REMOVE:
            continue
        here = circuit.start
        for element in circuit.path:
            if isinstance(element, Wire | Part):
                assert one_point(here, element.start), element.name
                here = element.end
            else:
                assert one_point(here, element.point), element.point
                here = element.point
        assert one_point(here, circuit.end)
        for wire in circuit.wires:
            assert wire.length_m > 0
            assert sum(stretch.length_m for stretch in wire.stretches) == pytest.approx(wire.length_m)


def test_smallest_job_assumes_the_rest() -> None:
    light = sample("reading-light")
    circuit = light.circuits["reading light"]
    # path left out: [battery, fuse, reading light], fuse at the battery, 3 m out and 3 m back to its negative
    assert wires(circuit) == [
        ("reading light fuse out", "reading light +", 3.0),
        ("reading light -", "battery -", 3.0),
    ]
    assert ("battery +", "reading light fuse in") in ties(light, "same")
    assert ties(light, "battery negative") == {("battery -", "chassis at battery")}
    assert ties(light, "alternator") == {("alternator +", "battery +"), ("alternator -", "battery -")}
    assert light.supplies["battery"].assumed
    assert light.supplies["alternator"].assumed
    said = {(item.where, item.value) for item in light.assumptions}
    assert ("reading light", "[battery, fuse, reading light]") in said
    assert ("battery", "flooded") in said
    assert light.reference == "battery -"


def test_delivery_car_as_measured() -> None:
    car = sample("commissioning")
    # battery to relay: one place, 20 cm, 18 cm of them to the fuse; 5 m - 0.2 m are left to the warmer
    assert wires(car.circuits["warmer"]) == [
        ("battery +", "warmer fuse in", 0.18),
        ("warmer fuse out", "warmer relay in", 0.02),
        ("warmer relay out", "warmer +", 4.8),
        ("warmer -", "chassis at boot", 0.2),
    ]
    fuse = car.circuits["warmer"].parts[0]
    assert (fuse.rating_a, fuse.family, fuse.origin) == (30.0, "regular blade", Origin.WRITTEN)
    assert (fuse.place, fuse.distance_m, fuse.distance_written) == ("engine bay", 0.18, True)
    wire = car.circuits["warmer"].wires[2]
    assert wire.size is not None
    assert (wire.size.text, wire.key) == ("5 AWG", "circuits/warmer/path/4")
    # 5 m from engine bay to boot, nobody measured the way: half in each zone
    assert [(s.zone, s.length_m) for s in wire.stretches] == [("engine bay", 2.4), ("cabin", 2.4)]
    # the return follows the wire to the load
    back = car.circuits["warmer"].wires[3]
    assert (back.returning, back.size) == (True, wire.size)
    assert car.circuits["warmer control"].loads == ("warmer relay coil",)
    assert car.circuits["warmer control"].back_end == "chassis at engine bay"
    assert ties(car, "existing block") == {("battery +", "fuse box")}
    # the fuse box has current with the key only, and through its coil so has the relay
    assert car.loads["warmer"].runs == {Situation.IDLING, Situation.DRIVING}
    assert car.about["work order"] == "0042"


def test_delivery_car_readings() -> None:
    car = sample("commissioning")
    driving = car.readings[1]
    assert driving.when is Situation.DRIVING
    assert driving.using == {"warmer"}
    assert [(v.kind, v.red, v.black, v.through) for v in driving.values][:4] == [
        ("voltage", "battery +", "battery -", None),
        ("voltage", "warmer +", "warmer -", None),
        ("current", None, None, "warmer"),
        ("voltage", "battery +", "warmer fuse in", None),
    ]
    assert driving.values[2].meter is not None
    assert (driving.values[2].meter.reading_pct, driving.values[2].meter.digits) == (3.0, 5.0)
    assert driving.values[0].last_digit == 0.01
    assert driving.values[-1].kind == "temperature"
    assert driving.values[-1].note == "after 20 min"
    measured = car.loads["warmer"].measured[0]
    assert (measured.resistance_ohm, measured.half_width, measured.leads_ohm) == (0.92, 0.02, 0.2)


def test_van_with_two_batteries() -> None:
    van = sample("dual-battery-van")
    # the routed 3.2 m follow the 20 cm within the engine bay, which the cable step takes whole
    assert wires(van.circuits["booster feed"]) == [
        ("start battery +", "booster feed fuse in", 0.2),
        ("split charge relay out", "booster in +", 3.2),
        ("booster in -", "chassis at seat base", 0.2),
    ]
    assert van.circuits["booster feed"].converter == "booster"
    # 60 cm in all, 20 cm of them behind the fuse
    assert wires(van.circuits["booster output"]) == [
        ("booster out +", "booster output fuse in", 0.4),
        ("booster output fuse out", "leisure battery +", 0.2),
    ]
    # a panel's two leads run together, 4 m by the route
    assert wires(van.circuits["solar input"]) == [
        ("roof panel +", "solar charger in +", 4.0),
        ("solar charger in -", "roof panel -", 4.0),
    ]
    # 3 m out: 2.4 m by the route, the rest within the galley; as much back
    assert wires(van.circuits["water pump"]) == [
        ("water pump fuse out", "pump switch in", 2.4),
        ("pump switch out", "water pump +", 0.6),
        ("water pump -", "negative bus", 3.0),
    ]


def test_van_with_two_batteries_beside_its_cables() -> None:
    van = sample("dual-battery-van")
    loom = van.circuits["fridge"].wires[0].stretches[0]
    assert (loom.laid, loom.route, loom.others) == ("loom", "seat base to galley", 2)
    # What both give comes back by cable that nobody drew: it is part of the work (own judgement).
    assert ties(van, "charger negative") == set()
    for name in ("booster", "solar charger"):
        negative = van.circuits[f"{name} negative"]
        assert (negative.start, negative.end) == ("negative bus", f"{name} out -")
    assert ties(van, "converter negative") == {
        ("booster out -", "booster in -"),
        ("solar charger out -", "solar charger in -"),
    }
    assert ties(van, "battery negative") == {("start battery -", "chassis at engine bay")}
    setpoint = van.supplies["alternator"].setpoint
    assert setpoint is not None
    assert (setpoint.low, setpoint.high) == (12.3, 14.8)
    assert van.supplies["booster"].nominal_v == 14.4
    assert van.day[2].using == {"fridge": None, "inverter": 350.0}
    assert (van.day[1].temperature_c, van.day[1].sun_s) == (12.0, 3 * 3600.0)


def test_boat() -> None:
    boat = sample("boat")
    assert (boat.basis, boat.body) == (Basis.BOAT, "none")
    # the rest of the 1.8 m behind the relay, but for the 20 cm that are written
    assert wires(boat.circuits["charge link"]) == [
        ("engine battery +", "charge link fuse in", 0.2),
        ("charge relay out", "charge link fuse 2 in", 1.6),
        ("charge link fuse 2 out", "house bank +", 0.2),
    ]
    # two circuits to one pump share the return of the first: 3 m out, 3 m back
    assert wires(boat.circuits["bilge pump float"])[-1] == ("bilge pump -", "negative bus", 3.0)
    assert boat.circuits["bilge pump by hand"].back == ()
    assert boat.circuits["bilge pump by hand"].back_end == "negative bus"
    # chart table to keel sump by way of the quarter berth: 2 m + 2.5 m
    assert wires(boat.circuits["bilge pump by hand"]) == [
        ("bilge pump by hand switch out", "bilge pump +", 4.5)
    ]
    # a light on the way: out 2 m and 2 + 3 + 3 m on, back through the minus of the first, beside the bus
    assert wires(boat.circuits["navigation lights"]) == [
        ("navigation lights switch out", "stern light +", 2.0),
        ("stern light +", "bow light +", 8.0),
        ("bow light -", "stern light -", 8.0),
        ("stern light -", "negative bus", 0.2),
    ]
    assert boat.circuits["navigation lights"].loads == ("stern light", "bow light")
    # no length is written, so the way back goes by the routes: 3 m + 2 m
    assert wires(boat.circuits["cabin lights"])[-1] == ("cabin lights -", "negative bus", 5.0)


def test_boat_switches_ties_and_day() -> None:
    boat = sample("boat")
    # positions of a switch: each is a part that the circuit behind it owns
    up = boat.circuits["windlass up"]
    assert (up.start, up.loads) == ("windlass buttons in", ("windlass solenoid up coil",))
    assert (up.parts[0].way, up.parts[0].end) == ("up", "windlass buttons up")
    assert boat.circuits["windlass control"].end == "windlass buttons in"
    assert boat.loads["windlass solenoid down coil"].relay == "windlass solenoid"
    assert boat.loads["windlass solenoid down coil"].claims[0].current_a == 1.5
    assert boat.loads["starter"].runs == {Situation.CRANKING}
    # on a boat nothing goes to a body: chargers to the return, the alternator to the first battery
    assert boat.chassis_points == ()
    assert ties(boat, "charger negative") == {("shore charger -", "negative bus")}
    assert ties(boat, "alternator") == {("alternator -", "engine battery -")}
    assert ties(boat, "battery negative") == set()
    assert boat.supplies["house bank"].parallel == 2
    assert boat.day[0].using == {"stern light": None, "bow light": None}


def test_cart_with_a_converter() -> None:
    cart = sample("cart-48v")
    # 2.2 m: 20 cm from switch to converter in one place, 2 m before it, 15 cm of them before the fuse
    assert wires(cart.circuits["converter feed"]) == [
        ("traction battery +", "converter feed fuse in", 0.15),
        ("converter feed fuse out", "key switch in", 1.85),
        ("key switch out", "converter in +", 0.2),
        ("converter in -", "traction battery -", 2.2),
    ]
    assert wires(cart.circuits["converter negative"]) == [("twelve volt negative", "converter out -", 0.2)]
    # both spans are within one place: the metre is shared
    assert wires(cart.circuits["horn control"])[:2] == [
        ("horn control fuse out", "horn button in", 0.5),
        ("horn button out", "horn relay coil +", 0.5),
    ]
    bank = cart.supplies["traction battery"]
    assert (bank.series, bank.nominal_v) == (8, 48.0)
    assert bank.taps == tuple(f"traction battery {number} +" for number in range(1, 8))
    assert cart.supplies["converter"].isolated
    assert cart.supplies["converter"].nominal_v == 12.8
    assert "alternator" not in cart.supplies
    assert ties(cart, "converter negative") == set()
    assert cart.circuits["converter feed"].parts[0].interrupt_a == 10_000.0
    assert cart.circuits["headlamps"].drop_pct == 3.0
    # behind the key switch, through the converter
    assert Situation.RESTING not in cart.loads["radio"].runs


def test_truck_with_a_tap_of_half_its_pair() -> None:
    truck = sample("truck-24v")
    tap = truck.circuits["driver's tap"]
    assert wires(tap) == [("driver's tap fuse out", "cool box +", 7.0), ("cool box -", "chassis at cab", 0.2)]
    assert ("battery 1 +", "driver's tap fuse in") in ties(truck, "same")
    assert truck.supplies["battery"].taps == ("battery 1 +",)
    assert tap.wires[0].origin is Origin.EXISTING
    assert tap.return_known is False
    assert tap.wires[1].size is None
    # 14 m over two routes of 6.5 m: the last gap takes the metre that is left
    assert wires(truck.circuits["work lamps"])[:3] == [
        ("battery +", "work lamps fuse in", 0.15),
        ("work lamps fuse out", "rocker in", 6.35),
        ("rocker out", "work lamps +", 7.5),
    ]
    # one negative for both sides of the converter, which comes back by its own wire: no second tie bridges it
    assert ties(truck, "converter negative") == {("converter out -", "converter in -")}
    assert ties(truck, "charger negative") == set()
    assert truck.supplies["alternator"].idle_a == 35.0
    assert truck.loads["kettle"].fitted.plug == "lighter"


def test_odd_shapes() -> None:
    extras = sample("extras")
    assert wires(extras.circuits["battery earth"]) == [
        ("chassis at inner wing", "battery earth sensor in", 0.4)
    ]
    assert extras.circuits["battery earth"].end == "battery -"
    # two wires in parallel between two fuses: 5 m - 15 cm - 30 cm; its negative bus is in the boot with it
    amplifier = extras.circuits["amplifier"].wires
    assert [round(wire.length_m, 3) for wire in amplifier] == [0.15, 4.55, 0.3, 0.2]
    assert amplifier[1].parallel == 2
    assert amplifier[1].area_mm2 == 12.0
    assert [part.name for part in extras.circuits["amplifier"].parts] == [
        "amplifier fuse",
        "amplifier fuse 2",
    ]
    # a step in size at a joint: 6 m - 15 cm - 4 m
    deck = extras.circuits["deck feed"]
    assert wires(deck) == [
        ("battery +", "deck feed fuse in", 0.15),
        ("deck feed fuse out", "deck feed joint in", 4.0),
        ("deck feed joint out", "box 1", 1.85),
    ]


def test_odd_shapes_rings_and_plugs() -> None:
    extras = sample("extras")
    # a ring ends where it began and has no return
    ring = extras.circuits["deck ring"]
    assert (ring.start, ring.end, ring.back) == ("box 1", "box 1", ())
    assert wires(ring) == [
        ("deck ring fuse out", "box 2", 2.0),
        ("box 2", "box 3", 2.0),
        ("box 3", "deck ring fuse 2 in", 2.0),
    ]
    # 2 m through a plug: a metre to each side of it
    assert wires(extras.circuits["panel feed"]) == [
        ("battery +", "panel feed fuse in", 0.15),
        ("panel feed fuse out", "bulkhead plug 1 in", 0.85),
        ("bulkhead plug 1 out", "panel", 1.0),
    ]
    # out and back through two ways of one plug, 3 m each way
    assert wires(extras.circuits["p6"]) == [
        ("p6 switch out", "bulkhead plug 3 in", 1.5),
        ("bulkhead plug 3 out", "p6 +", 1.5),
        ("p6 -", "bulkhead plug 4 in", 1.5),
        ("bulkhead plug 4 out", "negative bus", 1.5),
    ]
    assert extras.circuits["p6"].parts[-1].returning


def test_fuse_tap() -> None:
    tap = sample("fuse-tap")
    camera = tap.circuits["dash camera"]
    assert ("rear wiper fuse in", "dash camera fuse in") in ties(tap, "same")
    assert camera.parts[0].holder == "tap"
    assert wires(camera)[0] == ("dash camera fuse out", "dash camera +", 2.2)
    wiper = tap.circuits["rear wiper"]
    assert (wiper.state, wiper.start) == (State.EXISTING, "fuse box")
    assert not wiper.wires[0].length_known
    # both hang on a block that has current with the key only, one through a point of the other
    assert tap.loads["dash camera"].runs == {Situation.IDLING, Situation.DRIVING}
    assert tap.gear["fuse box"].ways == ("F21", "F22", "F23")


def test_inverter_with_two_batteries() -> None:
    van = sample("inverter")
    assert wires(van.circuits["battery A"]) == [
        ("battery A +", "battery A fuse in", 0.15),
        ("battery A fuse out", "positive bus", 0.45),
    ]
    assert van.circuits["battery A"].parts[0].family == "class T"
    sensor = van.circuits["monitor"].parts[0]
    assert (sensor.rating_a, sensor.resistance_ohm) == (500.0, 0.0001)
    assert ties(van, "battery negative") == set()
    assert [(c.power_w, c.current_a, c.by) for c in van.loads["inverter"].claims] == [
        (2000.0, None, "label"),
        (None, 220.0, "manual"),
    ]


def test_relay_triggered_by_a_lamp() -> None:
    lamps = sample("lamp-relay")
    trigger = lamps.circuits["trigger"]
    assert (trigger.start, trigger.end, trigger.back_end) == (
        "main beam +",
        "lamp relay coil +",
        "chassis at engine bay",
    )
    # fuse at the lamps, then 4 m shared by two ways that nobody measured
    assert [round(wire.length_m, 3) for wire in trigger.wires] == [2.0, 2.0, 0.2]
    assert lamps.loads["main beam"].count == 2
    assert lamps.circuits["main beam"].parts[0].origin is Origin.EXISTING


def test_winch_with_a_strap_of_its_own() -> None:
    winch = sample("winch")
    # 2.4 m: 20 cm in the engine bay, 20 cm at the bumper, 2 m between; the return is drawn
    assert wires(winch.circuits["winch"]) == [
        ("battery +", "winch isolator in", 0.2),
        ("winch isolator out", "winch relay in", 2.0),
        ("winch relay out", "winch +", 0.2),
        ("winch -", "chassis at front bumper", 0.5),
    ]
    assert {wire.size.text for wire in winch.circuits["winch"].wires if wire.size} == {"35 mm2"}
    assert wires(winch.circuits["engine strap"]) == [("engine block", "chassis at inner wing", 0.35)]
    assert ties(winch, "battery negative") == set()
    battery = winch.supplies["battery"]
    assert (battery.cranking_a, battery.cranking_standard) == (850.0, "SAE")


def test_camper_as_found() -> None:
    camper = sample("as-found")
    link = camper.circuits["battery link"]
    assert [(part.kind, part.name) for part in link.parts] == [("unknown", "battery link unknown")]
    assert not link.wires[0].length_known
    assert link.wires[0].origin is Origin.EXISTING
    strip = camper.circuits["strip feed"]
    assert strip.parts[0].unknown_rating
    assert not strip.parts[0].distance_written
    assert strip.wires[0].unknown
    assert strip.wires[0].length_m == 0.2
    yellow = camper.circuits["yellow wire"]
    assert (yellow.end, yellow.back, yellow.loads) == ("yellow wire end", (), ())
    blue = camper.circuits["blue wire"]
    assert (blue.start, blue.state) == ("blue wire start", State.REMOVE)
    assert camper.circuits["step motor"].back_end == "chassis at door"
    # nobody says where the fan returns: to the battery that feeds its strip, as far as the way out
    assert wires(camper.circuits["roof fan"])[-1] == ("roof fan -", "second battery -", 3.0)
    assert camper.supplies["second battery"].chemistry is None
    assert camper.supplies["second battery"].capacity_ah is None
    assert camper.loads["step motor"].claims_unknown
    assert camper.readings[0].values[3].through == "yellow wire"
    assert {s.kind for s in camper.supplies.values()} == {SupplyKind.BATTERY, SupplyKind.ALTERNATOR}


def test_reads_the_same_with_other_line_ends_and_a_mark_in_front() -> None:
    text = (SAMPLES / "boat.job.yaml").read_text(encoding="utf-8")
    plain = read_job(text).installation
    assert read_job(text.replace("\n", "\r\n")).installation == plain
    assert read_job("\ufeff" + text).installation == plain
