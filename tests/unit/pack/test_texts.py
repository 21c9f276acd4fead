"""What the pack says in words: complete, in order, each thing once, and all of it ready to be translated."""

import random
import re
from pathlib import Path

import pytest

from groundstrap import api
from groundstrap.checks import Worst
from groundstrap.model import PartKind, State, SupplyKind
from groundstrap.pack.content import Calculation, Caution, Facts, Items, Paragraph, Section, Steps, Table
from groundstrap.pack.document import Wanted, document
from groundstrap.pack.lists.cuts import cuts_of
from groundstrap.pack.lists.purchase import purchase_of
from groundstrap.pack.texts.calculations import calculation_section
from groundstrap.pack.texts.changes import changes
from groundstrap.pack.texts.circuit_sheet import circuit_section, circuit_sheet
from groundstrap.pack.texts.cover import cover_facts, cover_section, revision_of, signature_section
from groundstrap.pack.texts.glossary import glossary_section
from groundstrap.pack.texts.instructions import instruction_section
from groundstrap.pack.texts.left_over import parked_section, spare_section
from groundstrap.pack.texts.make_dead import dead_section
from groundstrap.pack.texts.phrases import Telling
from groundstrap.pack.texts.records import assumption_section, source_section
from groundstrap.pack.texts.standing import standing_section
from groundstrap.pack.texts.test_sheet import numbered_points, sheet_section
from groundstrap.pack.typeset.html import html
from groundstrap.pack.typeset.pdf import Setting, pdf
from groundstrap.report.figures import Display
from groundstrap.report.plan import Plan
from groundstrap.report.test_points import Method
from groundstrap.report.working import work_steps
from groundstrap.words import Words, words
from tests.rules.flawed import flawed_job
from tests.rules.sound_jobs import FRAMES, sound_job
from tests.support.pdf import pages

EXAMPLES = sorted(Path("examples").glob("*.job.yaml"))
HEAD = "groundstrap: 1\ntitle: Test van\nsystem: 12 V\n"
SMALL = HEAD + (
    "supplies: {battery: {kind: battery, capacity: 80 Ah}}\n"
    "loads: {lamp: {kind: led, claims: {power: 20 W}}}\n"
    "circuits: {lamp: {path: [battery, fuse, switch, lamp], length: 3 m}}\n"
)


def _plan(text: str) -> Plan:
    return api.plan(api.read_job(text))


@pytest.fixture(scope="module", name="plans")
def _plans() -> list[Plan]:
    texts = [path.read_text(encoding="utf-8") for path in EXAMPLES]
    texts += [sound_job(random.Random(n), FRAMES[n % len(FRAMES)]).text for n in range(6)]
    texts += [flawed_job(n).text for n in range(0, 60, 12)]
    return [_plan(text) for text in texts]


def _example(name: str) -> Plan:
    return _plan(Path(f"examples/{name}.job.yaml").read_text(encoding="utf-8"))


def _every_section(plan: Plan) -> list[Section]:
    shown = Display()
    telling = Telling(plan, shown)
    return [
        cover_section(plan, shown, telling),
        standing_section(plan, shown, telling),
        circuit_section(plan, shown, "handheld", telling),
        instruction_section(plan, shown, telling),
        dead_section(plan, shown, telling),
        sheet_section(plan, shown, "handheld", telling),
        calculation_section(plan, shown, telling),
        spare_section(plan, shown, telling),
        parked_section(plan, shown, telling),
        assumption_section(plan, shown, telling),
        source_section(plan, shown),
        glossary_section(plan, shown),
        signature_section(plan, shown),
        changes(plan, plan, shown),
    ]


def _walked(section: Section):
    yield section
    for part in section.parts:
        yield from _walked(part)


def _blocks(section: Section, kind: type):
    return [block for part in _walked(section) for block in part.blocks if isinstance(block, kind)]


def _steps(section: Section):
    return [step for block in _blocks(section, Steps) for step in block.steps]


def _rows(section: Section):
    return {str(row[0]): row for table in _blocks(section, Table) for row in table.rows}


def _topics(section: Section):
    return {(str(row[0]), str(row[1])) for table in _blocks(section, Table) for row in table.rows}


def test_every_sentence_can_be_translated(plans):
    """Headings, sentences and columns remember their templates; names that the job gives do not."""
    for plan in plans:
        names = {*plan.installation.circuits, plan.installation.title}
        for section in (part for whole in _every_section(plan) for part in _walked(whole)):
            assert isinstance(section.title, Words) or section.title in names, section.title
            for text in _sentences(section):
                assert isinstance(text, Words), text


def _sentences(section: Section):
    for block in section.blocks:
        if isinstance(block, Paragraph):
            yield block.text
        elif isinstance(block, Steps):
            yield from (text for step in block.steps for text in (step.text, *step.details))
        elif isinstance(block, Items):
            yield from block.texts
        elif isinstance(block, Table):
            yield from (column.title for column in block.columns)
            yield from [block.caption] if block.caption else []
        elif isinstance(block, Calculation):
            yield from (text for line in block.lines for text in (line.what, line.formula) if text)


def test_us_units_reach_the_texts_of_lower_layers():
    """Lengths in feet and degrees Fahrenheit, and the template kept where a field alone was converted."""
    plan = _example("oyster-skiff")
    telling = Telling(plan, Display("us"))
    told = telling.text(words("up to {heat} on {length}", heat="60 degC", length="2.5 m"))
    assert told == "up to 140 degF on 8 ft 2 in"
    assert isinstance(told, Words)


def test_rows_have_as_many_cells_as_columns(plans):
    for plan in plans:
        for table in (block for whole in _every_section(plan) for block in _blocks(whole, Table)):
            assert all(len(row) == len(table.columns) for row in table.rows)


def test_steps_are_numbered_through(plans):
    for plan in plans:
        blocks = _blocks(instruction_section(plan, Display()), Steps)
        numbers = [block.first + at for block in blocks for at in range(len(block.steps))]
        assert numbers == list(range(1, len(numbers) + 1))


def test_instructions_lay_and_finish_every_cable_once(plans):
    """The cut list, the labels and the instructions speak of the same cables."""
    for plan in plans:
        texts = [str(step.text) for step in _steps(instruction_section(plan, Display()))]
        for cut in cuts_of(plan):
            ends = [text for text in texts if text.startswith(f"Terminate cable {cut.number}:")]
            assert len(ends) == 1, cut.number
        wires = {cut.wire for cut in cuts_of(plan)}
        assert sum(text.startswith("Route cable") for text in texts) == len(wires)


def test_every_new_fuse_gets_its_first_power_once(plans):
    fuses = {PartKind.FUSE, PartKind.BREAKER}
    for plan in plans:
        new = [
            part
            for circuit in plan.installation.circuits.values()
            if circuit.state is State.NEW
            for part in circuit.parts
            if part.kind in fuses and part.state is State.NEW
        ]
        texts = [str(step.text) for step in _steps(instruction_section(plan, Display()))]
        assert sum(text.startswith("First power to") for text in texts) == len(new)


def test_instructions_and_the_plan_are_one_truth(plans):
    """The same cautions, the same order of circuits, the same words at first power."""
    for plan in plans:
        section = instruction_section(plan, Display())
        steps = work_steps(plan)
        cautions = {str(block.text) for block in _blocks(section, Caution)}
        cautions |= {str(text) for step in _steps(section) for text in step.cautions}
        assert {caution["text"] for step in steps for caution in step["cautions"]} == cautions
        built = [part.key for part in section.parts if part.key.startswith("instructions-build-")]
        laid = [
            re.match("Lay '(.*)': ", step["text"])[1] for step in steps if step["text"].startswith("Lay ")
        ]
        assert built == [f"instructions-build-{name}" for name in laid]
        told = {str(step.text) for step in _steps(section)}
        assert {step["text"] for step in steps if step["text"].startswith("First power")} <= told


def test_no_hazard_no_caution():
    """A lamp on a sealed battery, its fuse on the post: the short circuit, law and licence, nothing else."""
    quiet = SMALL.replace("capacity: 80 Ah", "capacity: 80 Ah, chemistry: agm")
    plan = _plan(quiet.replace("kind: led", "kind: lamp"))
    section = instruction_section(plan, Display())
    told = [str(block.text) for block in _blocks(section, Caution)]
    assert len(told) == 2
    assert told[0].startswith("Rings and watch off")
    assert told[1].startswith("Local codes")


def test_work_runs_from_dead_to_hand_over():
    keys = [
        part.key.removeprefix("instructions-") for part in instruction_section(_plan(SMALL), Display()).parts
    ]
    assert keys == [
        "isolate", "prepare", "build-lamp", "test-dead", "connect", "power", "measure", "hand-over",
    ]  # fmt: skip


def test_what_an_isolator_leaves_live():
    """Read off the pickup's drawing by hand: the bed hangs on its isolator, the tap does not."""
    section = dead_section(_example("hive-pickup"), Display())
    rows = {row[0]: row for table in _blocks(section, Table) for row in table.rows if len(row) == 3}
    dead, live = str(rows["-Q1 bed isolator"][1]), str(rows["-Q1 bed isolator"][2])
    assert "bed feed (cable 2.3)" in dead
    assert "work lights" in dead
    assert "hive monitor" in live
    assert "bed feed (cable 2.1, 2.2)" in live


def test_solar_and_mains_are_parted_before_the_battery():
    text = HEAD + (
        "supplies:\n"
        "  battery: {kind: battery, capacity: 80 Ah}\n"
        "  panel: {kind: solar, power: 100 W, voltage: 18 V}\n"
        "  controller: {kind: solar charger, current: 10 A}\n"
        "  shore charger: {kind: mains charger, current: 20 A}\n"
        "loads: {lamp: {kind: led, claims: {power: 20 W}}}\n"
        "circuits:\n"
        "  panel: {path: [panel, controller], length: 4 m}\n"
        "  charge: {path: [controller, fuse, battery], length: 1 m}\n"
        "  shore: {path: [shore charger, fuse, battery], length: 1 m}\n"
        "  lamp: {path: [battery, fuse, switch, lamp], length: 3 m}\n"
    )
    plan = _plan(text)
    texts = [str(step.text) for step in _steps(dead_section(plan, Display()))]
    order = [
        next(n for n, t in enumerate(texts) if word in t) for word in ("mains plug", "Cover", "negative lead")
    ]
    assert order == sorted(order)
    assert any("hold their charge" in t and "controller" in t for t in texts)
    paragraphs = [str(block.text) for block in _blocks(dead_section(plan, Display()), Paragraph)]
    assert any("panel" in t and "still feeds" in t for t in paragraphs)
    last = [str(step.text) for step in _steps(instruction_section(plan, Display()))]
    joined = next(n for n, t in enumerate(last) if t.startswith("Join") and "panel" in t)
    assert joined > next(n for n, t in enumerate(last) if t.startswith("Negative of"))
    powered = max(n for n, t in enumerate(last) if t.startswith("First power to"))
    plugged = next(n for n, t in enumerate(last) if t.startswith("Plug") and "shore charger" in t)
    assert powered < joined < plugged


def test_batteries_are_joined_with_every_plus_before_the_first_negative():
    """A whole battery makes the free plus ends of the others live; links go back: own judgement."""
    text = (
        "groundstrap: 1\ntitle: Launch\nsystem: 24 V\nreturn: bar\n"
        "supplies:\n"
        "  start: {kind: battery, capacity: 90 Ah, bank: 2 in series}\n"
        "  house: {kind: battery, capacity: 100 Ah, bank: 2 in series}\n"
        "gear: {bar: {kind: block}}\n"
        "loads: {lamp: {kind: led, claims: {power: 20 W}}, horn: {kind: other, claims: {current: 2 A}}}\n"
        "circuits:\n"
        "  one: {path: [bar, start -], length: 50 cm}\n"
        "  two: {path: [bar, house -], length: 50 cm}\n"
        "  lamp: {path: [house, length: 20 cm, fuse, switch, lamp], length: 3 m}\n"
        "  horn: {path: [start, length: 20 cm, fuse, switch, horn], length: 3 m}\n"
    )
    texts = [str(step.text) for step in _steps(instruction_section(_plan(text), Display()))]
    at = {
        start: [n for n, t in enumerate(texts) if t.startswith(start)]
        for start in ("Plus", "Join", "Negative")
    }
    assert [len(steps) for steps in at.values()] == [2, 2, 2]
    assert max(at["Plus"] + at["Join"]) < min(at["Negative"])


def test_what_feeds_a_converter_gets_power_before_what_it_feeds():
    """Read off the cart's file by hand: battery, converter, block, loads."""
    plan = _plan(Path("tests/data/jobs/cart-48v.job.yaml").read_text(encoding="utf-8"))
    texts = [str(step.text) for step in _steps(instruction_section(plan, Display()))]
    order = [
        next(n for n, t in enumerate(texts) if t.startswith(f"First power to '{name}'"))
        for name in ("converter feed", "twelve volt", "headlamps")
    ]
    assert order == sorted(order)


def test_no_load_is_read_for_the_insulation_of_its_cable():
    """A horn's or coil's own ohms lie between the leads, switch or no switch: its plus is taken off."""
    plan = _plan(Path("tests/data/jobs/cart-48v.job.yaml").read_text(encoding="utf-8"))
    open_ = [
        each.point
        for each in numbered_points(Telling(plan, Display()), "basic")
        if each.point.method is Method.OHMS and each.point.expected is None and not each.point.part
    ]
    loads = plan.installation.loads
    at_loads = {load.name: p for p in open_ for load in loads.values() if load.plus == p.red}
    assert set(at_loads) == {"headlamps", "radio", "horn", "horn relay coil"}
    assert all(str(p.note) == f"plus of {name} off" for name, p in at_loads.items())


def test_readings_are_such_as_a_person_can_take(plans):
    """No ohms under power, no more than the series range holds in series; bands hold what is expected."""
    for plan in plans:
        points = numbered_points(Telling(plan, Display()), "basic")
        assert [each.number for each in points] == list(range(1, len(points) + 1))
        for point in (each.point for each in points):
            assert (point.method is Method.OHMS) is (point.when is None)
            if point.method is Method.SERIES:
                assert (point.look.high or 0.0) < 10.0
            if point.expected is None:
                continue
            low, high = point.look.low, point.look.high
            assert low is None or low <= point.expected * (1 + 1e-9)
            # A load that takes more than its fuse or cable stands ends there: the plan stands against it.
            stands = point.allowed is not None and high == point.allowed and "stands" in point.note
            assert high is None or high >= point.expected * (1 - 1e-9) or stands
            assert point.fails.high is None or high is None or point.fails.high >= high
            assert point.fails.low is None or low is None or point.fails.low <= low


def test_no_ohms_at_a_battery(plans):
    """A meter on ohms across a charged battery is destroyed: its plus is never a point of the dead test."""
    camper = HEAD + (
        "supplies:\n"
        "  start: {kind: battery, capacity: 90 Ah}\n"
        "  house: {kind: battery, capacity: 100 Ah}\n"
        "  booster: {kind: dc-dc, current: 30 A, setpoint: 14.4 V}\n"
        "circuits:\n"
        "  in: {path: [start, length: 20 cm, fuse, booster], length: 4 m}\n"
        "  out: {path: [booster, length: 1 m, fuse, length: 20 cm, house]}\n"
    )
    for plan in (*plans, _plan(camper)):
        supplies = plan.installation.supplies.values()
        posts = {post for s in supplies if s.kind is SupplyKind.BATTERY for post in (s.plus, *s.taps)}
        for each in numbered_points(Telling(plan, Display()), "basic"):
            if each.point.method is Method.OHMS:
                assert not posts & {each.point.red, each.point.black}


def test_a_better_meter_narrows_the_bands():
    """0.015 % of a bench meter against 0.5 % of a basic one: jcgm-100, squares add."""
    plan = _example("hive-pickup")
    basic, bench = (numbered_points(Telling(plan, Display()), name) for name in ("basic", "bench"))
    others = {(e.point.red, e.point.black, e.point.when): e.point for e in bench}
    volts = [e.point for e in basic if e.point.method is Method.VOLTS and e.point.circuit is not None]
    pairs = [(one, others[one.red, one.black, one.when]) for one in volts]
    assert len(pairs) > 10
    assert all(other.look.high <= one.look.high for one, other in pairs)


def test_circuit_sheets_are_those_of_the_section():
    plan = _example("oyster-skiff")
    shown = Display.of(plan.installation)
    every = {part.key: part for part in circuit_section(plan, shown).parts}
    assert set(every) == {f"circuit-{name}" for name in plan.installation.circuits}
    alone = circuit_sheet(plan, "horn", shown)
    assert alone == every["circuit-horn"]


def test_readings_of_a_circuit_are_those_of_the_test_sheet():
    """The same number, the same expected value."""
    plan = _example("book-bus")
    sheet = {row[0]: row for t in _blocks(sheet_section(plan, Display()), Table) for row in t.rows}
    counted = 0
    for table in _blocks(circuit_section(plan, Display()), Table):
        for row in table.rows if table.columns[-1].blank else ():
            number, _, *rest = row
            assert tuple(rest) == sheet[number][1:]
            counted += 1
    assert counted > 40


def test_circuit_sheet_lists_its_path():
    """The pump of the skiff by hand: out through fuse and switch, back over two blocks."""
    plan = _example("oyster-skiff")
    sheet = circuit_sheet(plan, "wash-down pump", Display("us"))
    path = next(table for table in _blocks(sheet, Table) if len(table.columns) == 7)
    told = [str(row[0]) for row in path.rows]
    assert told == [
        "-X2 panel", "-F8 wash-down pump fuse", "-S4 wash-down pump switch", "cable 11.1",
        "-M3 wash-down pump, +", "-M3 wash-down pump, -", "cable 11.2, back", "-X3 console negative",
    ]  # fmt: skip


def test_cover_says_what_stops_and_who_answers():
    text = SMALL.replace("fuse, switch", "{fuse: 40 A, family: regular blade}, switch").replace(
        "length: 3 m", "length: 3 m, wire: 0.75 mm2"
    )
    plan = _plan(text)
    section = cover_section(plan, Display())
    assert str(section.blocks[0].text).startswith("Do not build it like this: ")
    assert any(
        str(each).startswith("STOP: ") and "[PRT001]" in str(each)
        for items in _blocks(section, Items)
        for each in items.texts
    )
    rule = next(f for f in plan.judgement.findings if f.rule == "PRT001")
    waiver = f"waivers: [{{rule: {rule.rule}, where: {rule.where}, reason: bench test, by: A. Fitter}}]\n"
    waived = _plan(text + waiver)
    told = [str(each) for items in _blocks(cover_section(waived, Display()), Items) for each in items.texts]
    assert any("bench test (A. Fitter)" in each for each in told)


def test_cover_facts_are_what_the_job_says():
    plan = _example("hive-pickup")
    facts = dict(cover_facts(plan))
    assert facts["Vehicle"] == "two-door pickup with a steel bed"
    assert revision_of(plan) == facts["Date"] == "2026-04-18"


def test_spare_is_silent_where_nobody_knows():
    """An existing feeder that nobody described, and a bilge pump that safety hangs on."""
    bus = _rows(spare_section(_example("book-bus"), Display()))
    assert bus["chassis earth"][-1] == "not known"
    skiff = _example("oyster-skiff")
    rows = _rows(spare_section(skiff, Display()))
    assert rows["bilge pump float"][-1] == "safety"
    assert rows["-X2 panel"][-1] == "6"


def test_half_of_the_battery_lasts():
    """By hand: 80 Ah / 2 at 35 mA are 1143 h, 48 days."""
    section = parked_section(_example("hive-pickup"), Display())
    facts = {str(name): str(value) for block in _blocks(section, Facts) for name, value in block.rows}
    assert facts["asleep, together"] == "0.035 A"
    assert facts["half of the battery lasts"] == "48 days"


def test_changes_in_trade_words():
    old = Path("examples/hive-pickup.job.yaml").read_text(encoding="utf-8")
    new = old.replace("count: 4, claims: {power: 27 W}", "count: 6, claims: {power: 27 W}")
    new = new.replace("hoist button, hoist solenoid coil]}", "hoist button, hoist solenoid coil], label: H1}")
    section = changes(_plan(old), _plan(new))
    rows = {(str(row[0]), str(row[1])): row for table in _blocks(section, Table) for row in table.rows}
    assert rows["work lights", "draws"][2:] == ("108 W (54 to 119)", "162 W (81 to 178)")
    assert ("work lights fuse", "fuse") in rows
    assert not any(row[2] == row[3] for row in rows.values())


def test_a_circuit_that_came_and_one_that_went():
    more = SMALL.replace(
        "circuits: {", "circuits: {radio: {path: [battery, fuse, radio], length: 2 m}, "
    ).replace("loads: {", "loads: {radio: {kind: electronics, claims: {current: 2 A}}, ")
    there, gone = changes(_plan(SMALL), _plan(more)), changes(_plan(more), _plan(SMALL))
    assert {("radio", "new circuit"), ("radio", "new load")} <= _topics(there)
    assert {("radio", "circuit taken out"), ("radio", "load taken out")} <= _topics(gone)


def test_nothing_changed_is_said():
    plan = _plan(SMALL)
    texts = [str(block.text) for block in _blocks(changes(plan, plan), Paragraph)]
    assert texts == ["Nothing that is built or bought changed, and nothing that stands against it."]


def test_each_term_is_explained_once(plans):
    for plan in plans:
        names = [str(name) for name, _ in glossary_section(plan, Display()).blocks[1].rows]
        assert len(names) == len(set(names))
        assert names == sorted(names)


def test_the_same_plan_says_the_same():
    one, other = _plan(SMALL), _plan(SMALL)
    assert _every_section(one) == _every_section(other)


def test_where_all_goes_nothing_is_cut_or_measured_dead():
    text = SMALL.replace(
        "fuse, switch, lamp], length: 3 m", "fuse: 5 A, wire: 1 mm2, lamp], length: 3 m, state: remove"
    )
    section = instruction_section(_plan(text), Display())
    assert "instructions-test-dead" not in [part.key for part in section.parts]
    prepared = next(part for part in section.parts if part.key == "instructions-prepare")
    assert [str(step.text) for step in _steps(prepared)] == [
        "Take out 'lamp': both ends off, cable and parts out."
    ]


def test_no_list_of_fuses_where_there_are_none():
    text = SMALL.replace("fuse, switch", "switch")
    texts = [str(step.text) for step in _steps(instruction_section(_plan(text), Display()))]
    assert "All loads off or unplugged." in texts


def test_the_torque_of_a_clamp_is_not_that_of_a_stud():
    """5 to 8 Nm are of a clamp on a tapered post (maker-battery-data); a stud of M5 would shear."""
    text = SMALL.replace("battery, fuse", "battery, length: 20 cm, fuse")
    steps = _steps(instruction_section(_plan(text), Display()))
    details = [str(told) for step in steps for told in step.details if "5 to 8 Nm" in str(told)]
    assert len(details) >= 2
    assert all("clamp" in told for told in details)


def test_free_ways_with_used_ones_between_are_each_named():
    loads = "".join(f"  l{n}: {{kind: led, claims: {{power: 5 W}}}}\n" for n in range(1, 6))
    circuits = "".join(
        f"  c{n}: {{path: [panel {2 * n - 1}, fuse, switch, l{n}], length: 1 m}}\n" for n in range(1, 6)
    )
    text = HEAD + (
        "gear: {panel: {kind: block, ways: 10}}\n"
        f"loads:\n{loads}circuits:\n  feed: {{path: [battery, fuse, panel], length: 1 m}}\n{circuits}"
    )
    rows = _rows(spare_section(_plan(text), Display()))
    assert str(rows["-X1 panel"][4]) == "2, 4, 6, 8 and 10"


def test_a_job_with_stops_says_so_on_every_page_and_before_its_instructions(plans: list[Plan]) -> None:
    stopped = [plan for plan in plans if plan.worst is Worst.STOP]
    assert stopped
    for plan in stopped:
        fuses = document(plan, Wanted(shown=Display()), ("fuses",))
        assert re.match(r"Do not build it like this: \d+ stops?, see the findings\.", fuses.warning)
        assert instruction_section(plan, Display()).blocks[0] == Paragraph(fuses.warning, strong=True)
        assert fuses.warning in html(fuses).partition("<main>")[2]
        assert all(fuses.warning in page.text for page in pages(pdf(fuses, Setting(cover=False))))


def test_a_job_without_stops_has_no_warning() -> None:
    plan = _example("hive-pickup")
    assert (document(plan, Wanted(shown=Display())).warning == "") is (plan.worst is not Worst.STOP)


def test_no_instruction_names_a_fuse_whose_rating_nobody_could_choose(plans: list[Plan]) -> None:
    for plan in plans:
        details = [
            str(text) for step in _steps(instruction_section(plan, Display())) for text in step.details
        ]
        assert not any("rating not chosen" in text for text in details)


def test_a_conduit_names_every_cable_in_it_and_the_bore_of_the_parts_list() -> None:
    # A feed of two pieces in one conduit; a bore is bought in whole millimetres, never less than needed.
    job = HEAD + (
        "supplies: {battery: {kind: battery, at: front, capacity: 80 Ah}}\n"
        "routes: [{from: front, to: rear, length: 4 m, laid: conduit}]\n"
        "loads: {lamp: {kind: led, at: rear, claims: {power: 20 W}}}\n"
        "circuits: {lamp: {path: [battery, length: 20 cm, fuse, lamp]}}\n"
    )
    plan = _plan(job)
    telling = Telling(plan, Display())
    (step,) = (
        s for s in _steps(instruction_section(plan, Display())) if str(s.text).startswith("Fix the con")
    )
    for wire in plan.installation.wires():
        if any(stretch.route for stretch in wire.stretches):
            assert telling.cable(wire.name) in str(step.details[0])
    bores = {m[0] for text in step.details if (m := re.search(r"bore \d+ mm", str(text)))}
    bought = {m[0] for row in purchase_of(plan).rows if (m := re.search(r"bore \d+ mm", str(row.item)))}
    assert bores == bought
    assert bores
