"""What is live after which isolator: read off the drawings of made-up jobs by hand."""

from pathlib import Path

from groundstrap import api
from groundstrap.assess.isolating import Isolation, isolation_of

HEAD = "groundstrap: 1\ntitle: A van\nsystem: 12 V\n"


def _isolation(text: str) -> Isolation:
    return isolation_of(api.read_job(text).installation)


def _circuits(wires) -> set[str]:
    return {name.rpartition(" wire ")[0] for name in wires}


def test_an_isolator_leaves_what_lies_before_it():
    """Between post and isolator nothing is switched; own drawing."""
    found = _isolation(
        HEAD
        + """
supplies: {battery: {kind: battery, capacity: 80 Ah}}
gear: {main: {kind: isolator, rating: 200 A}, block: {kind: block, ways: 4, rating: 100 A}}
loads: {lamp: {kind: led, claims: {power: 20 W}}}
circuits:
  feed: {path: [battery, length: 20 cm, fuse, length: 30 cm, main, length: 1 m, block]}
  lamp: {path: [block, fuse, lamp], length: 3 m}
"""
    )
    assert set(found.parked) == {"feed wire 1", "feed wire 2", "feed wire 3", "lamp wire 1"}
    assert _circuits(found.dead("main")) == {"feed", "lamp"}
    assert set(found.after["main"]) == {"feed wire 1", "feed wire 2"}
    assert found.after_batteries == {}


def test_a_panel_keeps_its_cable_live_when_the_batteries_are_off():
    """Light makes volts: nothing but covering it or parting its plug helps; own drawing."""
    found = _isolation(
        HEAD
        + """
supplies:
  battery: {kind: battery, capacity: 80 Ah}
  panel: {kind: solar, power: 100 W, voltage: 18 V}
  controller: {kind: solar charger, current: 10 A}
circuits:
  panel: {path: [panel, controller], length: 4 m}
  charge: {path: [controller, fuse, battery], length: 1 m}
"""
    )
    assert "panel wire 1" in found.after_batteries
    assert found.after_batteries["panel wire 1"] == ("panel",)


def test_a_pump_with_two_switches_does_not_join_its_feeds():
    """Float and hand switch are closed in turn, so the main switch still makes the panel dead."""
    text = Path("examples/oyster-skiff.job.yaml").read_text(encoding="utf-8")
    found = _isolation(text)
    dead = _circuits(found.dead("main switch"))
    assert {"panel feed", "navigation lights", "horn"} <= dead
    assert "bilge pump float" not in dead


def _booster(when: str) -> Isolation:
    return _isolation(
        HEAD
        + f"""
supplies:
  car: {{kind: battery, capacity: 80 Ah}}
  house: {{kind: battery, chemistry: agm, capacity: 100 Ah}}
  booster: {{kind: dc-dc, current: 20 A, setpoint: 14.4 V{when}}}
gear: {{main: {{kind: isolator, rating: 200 A}}, block: {{kind: block, ways: 4, rating: 100 A}}}}
loads: {{lamp: {{kind: led, claims: {{power: 20 W}}}}}}
circuits:
  feed: {{path: [house, length: 20 cm, fuse, length: 30 cm, main, length: 1 m, block]}}
  lamp: {{path: [block, fuse, lamp], length: 3 m}}
  bin: {{path: [car, fuse, booster], length: 3 m}}
  bout: {{path: [booster, fuse, block], length: 1 m}}
"""
    )


def test_a_booster_that_no_signal_stops_feeds_what_the_isolator_parts():
    """Without `when` it passes on at rest too; by the engine's signal the lamp is dead; own drawing."""
    assert "lamp wire 1" in _booster("").after["main"]
    assert "lamp wire 1" in _booster(", when: engine").dead("main")
