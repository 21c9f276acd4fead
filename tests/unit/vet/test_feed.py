"""What a load hangs on: its nominal volts, and the fuse that is there already."""

from __future__ import annotations

import pytest

from groundstrap.model import Claim, Fitted, LoadKind, State, SupplyKind, Tie
from groundstrap.vet import BoundKind, Verdict, vet
from groundstrap.vet.feed import Feeds
from tests.support.installations import Builder, Cable, Device
from tests.unit.vet.evidence import a_job, a_load, power

CABLE = Cable(1.0, "2.5 mm2")


def test_without_a_circuit_the_system_feeds_it() -> None:
    job = a_job(a_load(), system_v=24.0)
    feed = Feeds(job).of(job.loads["warmer"])
    assert (feed.nominal_v, feed.regulated, feed.fuses) == (24.0, False, ())


def test_behind_a_converter_its_setpoint_counts() -> None:
    job = Builder(system_v=48.0)
    job.battery()
    job.machine("converter", SupplyKind.DC_DC, nominal_v=12.8)
    job.load("lamp", None, kind=LoadKind.LED, claims=(power(20.0),))
    job.circuit("converter", ["battery +", CABLE, "converter in +"], converter="converter")
    job.circuit("lamp", ["converter out +", CABLE, "lamp +"], ["lamp -", CABLE, "converter out -"])
    load = vet(job.build()).loads["lamp"]
    assert load.estimate.at_v == 12.8
    assert [(item.what, item.at_v) for item in load.at] == [("regulated", 12.8)]


@pytest.mark.parametrize("kind", [SupplyKind.DC_DC, SupplyKind.SOLAR_CHARGER, SupplyKind.MAINS_CHARGER])
@pytest.mark.parametrize("joins_at", ["busbar", "house battery +"])
def test_beside_a_battery_a_chargers_setpoint_rates_no_load(kind: SupplyKind, joins_at: str) -> None:
    """At rest a battery feeds, whatever charges it; a label of a 12 V load is for 12 V; common practice."""
    job = Builder()
    job.battery("house battery")
    job.block("busbar")
    job.machine("charger", kind, nominal_v=14.4)
    job.load("pump", None, kind=LoadKind.PUMP, claims=(Claim(current_a=7.0),))
    job.circuit("main", ["house battery +", CABLE, "busbar"])
    job.circuit("charger out", ["charger out +", CABLE, joins_at])
    job.circuit("pump", ["busbar", CABLE, "pump +"], ["pump -", CABLE, "house battery -"])
    built = job.build()
    feed = Feeds(built).of(built.loads["pump"])
    assert (feed.nominal_v, feed.regulated) == (12.0, False)
    load = vet(built).loads["pump"]
    assert load.estimate.at_v == 12.0
    assert [(item.what, item.at_v) for item in load.at[:2]] == [("resting", 12.6), ("charging", 14.4)]


def test_half_of_a_bank_is_half_its_volts() -> None:
    job = Builder(system_v=24.0)
    job.battery(series=2)
    job.load("lamp", None, claims=(power(20.0),))
    job.load("upper", None, claims=(power(20.0),))
    job.circuit("lamp", ["battery 1 +", CABLE, "lamp +"], ["lamp -", CABLE, "battery -"])
    job.circuit("upper", ["battery +", CABLE, "upper +"], ["upper -", CABLE, "battery 1 +"])
    feeds, built = Feeds(job.build()), job.build()
    assert feeds.of(built.loads["lamp"]).nominal_v == 12.0
    assert feeds.of(built.loads["upper"]).nominal_v == 12.0


def _socket(state: State, rating_a: float | None = 15.0) -> Builder:
    job = Builder()
    job.battery()
    job.block("fuse box", state=State.EXISTING)
    job.ties.append(
        Tie(name="fuse box feed", start="battery +", end="fuse box", kind="existing block", why="not drawn")
    )
    job.load("kettle", None, kind=LoadKind.HEATER, claims=(power(300.0),))
    fuse = Device("fuse", rating_a=rating_a, family="regular blade")
    job.circuit(
        "socket", ["fuse box", fuse, CABLE, "kettle +"], ["kettle -", CABLE, "battery -"], state=state
    )
    return job


def test_the_fuse_where_it_plugs_in_bounds_it() -> None:
    load = vet(_socket(State.EXISTING).build()).loads["kettle"]
    assert [(item.kind, item.name, item.most_a) for item in load.bounds] == [
        (BoundKind.CIRCUIT_FUSE, "socket fuse", 20.25)
    ]
    assert load.claims[0].verdict is Verdict.IMPOSSIBLE
    assert "socket fuse" in load.claims[0].why
    assert not any(item.kind.value == "fitted" for item in load.evidence)


@pytest.mark.parametrize(("state", "rating_a"), [(State.NEW, 15.0), (State.EXISTING, None)])
def test_a_fuse_that_is_planned_or_not_known_does_not(state: State, rating_a: float | None) -> None:
    load = vet(_socket(state, rating_a).build()).loads["kettle"]
    assert load.bounds == ()
    assert load.claims[0].verdict is Verdict.UNPROVEN


def test_what_is_to_be_taken_out_feeds_nothing() -> None:
    job = _socket(State.REMOVE)
    assert vet(job.build()).loads["kettle"].bounds == ()


def test_bounds_of_all_pieces_together() -> None:
    two = a_load(kind=LoadKind.PTC_HEATER, count=2, claims=(power(150.0),), fitted=Fitted(fuse_a=15.0))
    load = vet(a_job(two)).loads["warmer"]
    assert load.bounds[0].most_a == 2 * 20.25
    assert load.claims[0].probability is None


def test_a_port_of_five_volts_gives_what_it_gives() -> None:
    load = vet(
        a_job(a_load(kind=LoadKind.ELECTRONICS, claims=(power(60.0),), fitted=Fitted(plug="usb-a")))
    ).loads["warmer"]
    assert load.bounds[0].rating_a == pytest.approx(0.5 * 5 / 12)
    assert load.claims[0].verdict is Verdict.IMPOSSIBLE
