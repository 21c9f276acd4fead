"""What the pack asks for where no switch alone loads a circuit, and where a fuse takes a spanner."""

import pytest

from groundstrap import api
from groundstrap.pack.texts.instructions import instruction_section
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.test_sheet import sheet_section
from groundstrap.report.figures import Display
from groundstrap.report.working import work_steps

VAN = (
    "groundstrap: 1\ntitle: Van\nsystem: 12 V\n"
    "supplies:\n"
    "  starter: {kind: battery, chemistry: agm, capacity: 70 Ah, state: existing}\n"
    "  house: {kind: battery, chemistry: agm, capacity: 100 Ah}\n"
    "gear:\n"
    "  bank isolator: {kind: isolator, rating: 200 A, stud: M8}\n"
    "  bus: {kind: block, rating: 250 A, stud: M8}\n"
    "  slots: {kind: block, ways: 6, rating: 100 A, stud: M5}\n"
    "loads:\n"
    "  inverter: {kind: inverter, claims: {power: 1000 W}, stud: M8}\n"
    "  fridge: {kind: compressor, claims: {power: 45 W}}\n"
    "  lamp: {kind: led, claims: {power: 12 W}}\n"
    "circuits:\n"
    "  house feed: {path: [house, length: 15 cm, {fuse: 175 A, family: marine terminal-mounted},"
    " bank isolator, bus], length: 1 m}\n"
    "  inverter: {path: [bus, {fuse: 150 A, family: marine terminal-mounted}, inverter], length: 1 m}\n"
    "  slots feed: {path: [bus, {fuse: 30 A, family: marine terminal-mounted}, slots], length: 50 cm}\n"
    "  fridge: {path: [slots 1, fuse, fridge], length: 2 m}\n"
    "  lamp: {path: [slots 2, fuse, lamp], length: 2 m}\n"
)


@pytest.fixture(scope="module", name="plan")
def _plan():
    return api.plan(api.read_job(VAN))


def _steps(section):
    for part in section.parts:
        for block in part.blocks:
            yield from ((part.key, step) for step in getattr(block, "steps", ()))


def _power(plan, circuit):
    steps = (step for _, step in _steps(instruction_section(plan, Display())))
    return next(s for s in steps if str(s.text).startswith(f"First power to '{circuit}'"))


def test_a_bolted_fuse_is_never_put_on_a_live_lead(plan):
    """Common practice: behind the isolator that is open; before it with the battery's negative off."""
    behind = str(_power(plan, "inverter").text)
    assert "engine and loads off, open bank isolator" in behind
    assert "Open again, bolt the 150 A fuse tight" in behind
    at_battery = str(_power(plan, "house feed").text)
    assert "negative lead off starter, house" in at_battery
    assert "bank isolator" not in at_battery
    assert "bolt" not in str(_power(plan, "lamp").text)


def test_the_plan_has_the_same_safe_order(plan):
    told = [step["text"] for step in work_steps(plan) if step["text"].startswith("First power to 'inverter'")]
    assert told == [str(_power(plan, "inverter").text)]
    assert not any("then fit the 150 A fuse" in text for text in told)


def test_capacitors_light_the_lamp_for_a_moment():
    """An inverter's, a charger's and a converter's input fill through the lamp; common practice."""
    text = (
        "groundstrap: 1\ntitle: Van\nsystem: 24 V\n"
        "supplies:\n  house: {kind: battery, capacity: 100 Ah}\n"
        "  small: {kind: dc-dc, current: 10 A, setpoint: 12 V}\n"
        "gear:\n  bus: {kind: block, rating: 100 A}\n"
        "loads:\n  lamp: {kind: led, claims: {power: 12 W}}\n"
        "  router: {kind: electronics, claims: {power: 9 W}}\n"
        "  brick: {kind: charger, claims: {power: 60 W}}\n"
        "circuits:\n  feed: {path: [house, fuse, bus], length: 1 m}\n"
        "  small: {path: [bus, small], length: 1 m, wire: 4 mm2}\n"
        "  router: {path: [small, fuse, router], length: 1 m}\n"
        "  lamp: {path: [bus, fuse, lamp], length: 2 m}\n  brick: {path: [bus, fuse, brick], length: 2 m}\n"
    )
    van = api.plan(api.read_job(text))
    fading = {name for name in ("feed", "lamp", "brick", "router") if "fades" in str(_power(van, name).text)}
    assert fading == {"feed", "brick"}


def test_joints_are_felt_after_runs_that_the_loads_stand():
    """A hoist that may run for 40 s does not run for a quarter of an hour; a live joint has its caution."""
    job = api.plan(
        api.read_job(
            VAN.replace("claims: {power: 12 W}}", "claims: {power: 12 W}, duty: {run: 40 s, every: 6 min}}")
        )
    )
    felt = [s for key, s in _steps(instruction_section(job, Display())) if key == "instructions-measure"][-1]
    assert "no longer than they may: lamp 40 s" in str(felt.text)
    assert "joint at plus is live" in str(felt.cautions[0])
    assert any("lamp 40 s" in step["text"] for step in work_steps(job))


def test_what_the_job_brings_is_mounted_first(plan):
    """Nothing of a car's own battery; a new one, its inverter, its blocks and its loads each once."""
    prepared = [s for key, s in _steps(instruction_section(plan, Display())) if key == "instructions-prepare"]
    told = " ".join(str(text) for s in prepared for text in (s.text, *s.details))
    assert "Fix -G2 house so that it can't move" in told.replace("-G1 house", "-G2 house")
    assert "starter" not in told
    for name in ("inverter", "bus", "slots", "fridge", "lamp"):
        assert told.count(f" {name}") == 1, name


def test_what_a_load_waits_for_before_it_draws(plan):
    """An inverter draws what hangs on it, a fridge what its thermostat asks for; a lamp for its switch."""
    assert any("full load plugged in" in str(d) for d in _power(plan, "inverter").details)
    assert any("until the compressor runs" in str(d) for d in _power(plan, "fridge").details)
    where, held = _power(plan, "lamp").details
    assert "at slots" in str(where)
    assert "no switch is drawn for" in str(held)
    parts = sheet_section(plan, Display(), "handheld", Telling(plan, Display())).parts
    cells = [str(row[-6]) for part in parts for block in part.blocks for row in getattr(block, "rows", ())]
    amps = [cell for cell in cells if "clamp on" in cell or "in series" in cell]
    assert all("full load plugged in" in cell for cell in amps if "inverter" in cell)
    assert any("until the compressor runs" in cell for cell in amps)


def test_what_is_new_is_not_switched_off_before_the_work(plan):
    texts = [str(s.text) for key, s in _steps(instruction_section(plan, Display())) if "isolate" in key]
    assert not any("bank isolator" in text or "inverter" in text for text in texts)
    off = [text for text in texts if text.startswith("Take the negative lead off")]
    assert len(off) == 1
    assert "starter" in off[0]
    assert any("house: new, not joined yet" in text for text in texts)
    assert texts[-1].startswith("Prove it dead")


def test_where_no_battery_is_known_to_be_there_all_are_parted():
    """A job that says nothing of what is there leaves no lead on: own judgement, the safe side."""
    plan = api.plan(api.read_job(VAN.replace(", state: existing", "")))
    texts = [str(s.text) for key, s in _steps(instruction_section(plan, Display())) if "isolate" in key]
    assert sum(text.startswith("Take the negative lead off") for text in texts) == 2


def test_a_fuse_in_a_slot_needs_no_holder(plan):
    texts = [str(s.text) for _, s in _steps(instruction_section(plan, Display()))]
    assert any(t.startswith("Slot 1 of") and "fridge fuse" in t for t in texts)
    assert not any("holder of" in t and "fridge fuse" in t for t in texts)
    assert any("holder of" in t and "inverter fuse" in t for t in texts)
