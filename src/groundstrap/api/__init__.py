"""The front door: everything that people and front ends call. Other modules are free to change.

Functions of texts and results alone: the same job, version and tables give the same answer::

    from groundstrap import api

    job = api.read_job(text)
    plan = api.plan(job)
    print(api.plan_text(plan))

A name is looked up when it is first used, so that a front end which only has to say what is wrong with a
call loads no more than it needs.
"""

from __future__ import annotations

import importlib
from types import ModuleType
from typing import TYPE_CHECKING, Final

from groundstrap.errors import CallError

if TYPE_CHECKING:
    from groundstrap.api.beginning import NewJob, new_job_text, new_job_words, with_answer
    from groundstrap.api.curves import curve_pictures, curves_text
    from groundstrap.api.days import DayRow, day_rows, day_written, temperature_of, with_day
    from groundstrap.api.editing import (
        Edit,
        EditKind,
        FieldForm,
        FirstAnswer,
        FirstLook,
        JobForm,
        KeyForm,
        NamesForm,
        SlipTold,
        StockEdit,
        StockRow,
        Swap,
        ValueKind,
        edited,
        edits_heard,
        fault_said,
        first_look,
        form_for,
        job_form,
        line_said,
        stock_cells,
        stock_edited,
        stock_rows,
        swapped,
        with_usual_sizes,
    )
    from groundstrap.api.enduring import (
        days_drawing,
        days_of,
        endure,
        endure_json,
        endure_text,
        endured_for_pack,
        whole_json,
    )
    from groundstrap.api.expecting import expected_line
    from groundstrap.api.locating import (
        AskedReading,
        LocationAnswer,
        asked_for,
        check_complaint,
        locate,
        locate_json,
        locate_line,
        locate_text,
        may_be_complained_of,
    )
    from groundstrap.api.looking import explain, rules, table, tables
    from groundstrap.api.packing import drawing, pack, pack_part, save_pack
    from groundstrap.api.planning import check, pin, plan, vet
    from groundstrap.api.reading import (
        decode_job,
        read_job,
        read_job_file,
        write_atomically,
        write_folder,
    )
    from groundstrap.api.reading_sheets import Entered, with_sheet
    from groundstrap.api.sheets import (
        DaysSheet,
        Language,
        MeterSheet,
        VisitsSheet,
        circuit_sheet,
        comparison,
        days_sheet,
        language,
        languages,
        load_sheet,
        meter_sheet,
        sheet,
        visits_sheet,
    )
    from groundstrap.api.shelving import (
        Clash,
        ClashAt,
        Imported,
        Photo,
        PhotoData,
        Revision,
        RevisionLine,
        Saved,
        Shelf,
        ShelfJob,
        Visit,
        VisitPlace,
        clash_text,
        clean_photo,
        data_folder,
        export_job,
        files_beside,
        history_text,
        import_job,
        jobs_text,
        open_shelf,
        photos_text,
        settled,
        shelf_json,
        shelf_object,
    )
    from groundstrap.api.showing import pinned_text, plan_text
    from groundstrap.api.taking import (
        TakenReading,
        job_with_reading,
        readings_taken,
        visit_day,
        with_mended,
        with_reading,
        without_mended,
        without_reading,
    )
    from groundstrap.api.telling import (
        plan_json,
        rule_text,
        rule_told,
        rules_text,
        table_text,
        tables_text,
        vet_json,
        vet_text,
    )
    from groundstrap.api.visiting import (
        AsBuilt,
        accept_visit,
        as_built,
        as_built_of,
        compare_visits,
        visited,
        visits_json,
        visits_text,
    )
    from groundstrap.report.days_verdict import judged_with
    from groundstrap.report.endurance import DaysNotRun, EnduranceAnswer
    from groundstrap.report.fault_report import error_lines, faults_json
    from groundstrap.report.plan import Plan
    from groundstrap.report.visited import Visited, VisitLine

__all__ = [
    "AsBuilt",
    "AskedReading",
    "Clash",
    "ClashAt",
    "DayRow",
    "DaysNotRun",
    "DaysSheet",
    "Edit",
    "EditKind",
    "EnduranceAnswer",
    "Entered",
    "FieldForm",
    "FirstAnswer",
    "FirstLook",
    "Imported",
    "JobForm",
    "KeyForm",
    "Language",
    "LocationAnswer",
    "MeterSheet",
    "NamesForm",
    "NewJob",
    "Photo",
    "PhotoData",
    "Plan",
    "Revision",
    "RevisionLine",
    "Saved",
    "Shelf",
    "ShelfJob",
    "SlipTold",
    "StockEdit",
    "StockRow",
    "Swap",
    "TakenReading",
    "ValueKind",
    "Visit",
    "VisitLine",
    "VisitPlace",
    "Visited",
    "VisitsSheet",
    "accept_visit",
    "as_built",
    "as_built_of",
    "asked_for",
    "check",
    "check_complaint",
    "circuit_sheet",
    "clash_text",
    "clean_photo",
    "compare_visits",
    "comparison",
    "curve_pictures",
    "curves_text",
    "data_folder",
    "day_rows",
    "day_written",
    "days_drawing",
    "days_of",
    "days_sheet",
    "decode_job",
    "drawing",
    "edited",
    "edits_heard",
    "endure",
    "endure_json",
    "endure_text",
    "endured_for_pack",
    "error_lines",
    "expected_line",
    "explain",
    "export_job",
    "fault_said",
    "faults_json",
    "files_beside",
    "first_look",
    "form_for",
    "history_text",
    "import_job",
    "job_form",
    "job_with_reading",
    "jobs_text",
    "judged_with",
    "language",
    "languages",
    "line_said",
    "load_sheet",
    "locate",
    "locate_json",
    "locate_line",
    "locate_text",
    "may_be_complained_of",
    "meter_sheet",
    "new_job_text",
    "new_job_words",
    "open_shelf",
    "pack",
    "pack_part",
    "photos_text",
    "pin",
    "pinned_text",
    "plan",
    "plan_json",
    "plan_text",
    "read_job",
    "read_job_file",
    "readings_taken",
    "rule_text",
    "rule_told",
    "rules",
    "rules_text",
    "save_pack",
    "settled",
    "sheet",
    "shelf_json",
    "shelf_object",
    "stock_cells",
    "stock_edited",
    "stock_rows",
    "swapped",
    "table",
    "table_text",
    "tables",
    "tables_text",
    "temperature_of",
    "vet",
    "vet_json",
    "vet_text",
    "visit_day",
    "visited",
    "visits_json",
    "visits_sheet",
    "visits_text",
    "whole_json",
    "with_answer",
    "with_day",
    "with_mended",
    "with_reading",
    "with_sheet",
    "with_usual_sizes",
    "without_mended",
    "without_reading",
    "write_atomically",
    "write_folder",
]

_HOMES: Final = {
    "groundstrap.api.days": ("DayRow", "day_rows", "day_written", "temperature_of", "with_day"),
    "groundstrap.api.enduring": (
        "days_drawing",
        "days_of",
        "endure",
        "endure_json",
        "endure_text",
        "endured_for_pack",
        "whole_json",
    ),
    "groundstrap.api.curves": ("curve_pictures", "curves_text"),
    "groundstrap.api.editing": (
        "Edit",
        "EditKind",
        "FieldForm",
        "FirstAnswer",
        "FirstLook",
        "JobForm",
        "KeyForm",
        "NamesForm",
        "SlipTold",
        "StockEdit",
        "StockRow",
        "Swap",
        "ValueKind",
        "edited",
        "edits_heard",
        "fault_said",
        "line_said",
        "first_look",
        "form_for",
        "job_form",
        "stock_cells",
        "stock_edited",
        "stock_rows",
        "swapped",
        "with_usual_sizes",
    ),
    "groundstrap.api.beginning": ("NewJob", "new_job_text", "new_job_words", "with_answer"),
    "groundstrap.api.reading": (
        "decode_job",
        "read_job",
        "read_job_file",
        "write_atomically",
        "write_folder",
    ),
    "groundstrap.api.sheets": (
        "DaysSheet",
        "MeterSheet",
        "VisitsSheet",
        "days_sheet",
        "meter_sheet",
        "visits_sheet",
        "Language",
        "circuit_sheet",
        "comparison",
        "language",
        "languages",
        "load_sheet",
        "sheet",
    ),
    "groundstrap.api.expecting": ("expected_line",),
    "groundstrap.api.locating": (
        "AskedReading",
        "LocationAnswer",
        "asked_for",
        "check_complaint",
        "locate",
        "locate_json",
        "locate_line",
        "locate_text",
        "may_be_complained_of",
    ),
    "groundstrap.api.taking": (
        "TakenReading",
        "job_with_reading",
        "readings_taken",
        "visit_day",
        "with_mended",
        "with_reading",
        "without_mended",
        "without_reading",
    ),
    "groundstrap.api.packing": ("drawing", "pack", "pack_part", "save_pack"),
    "groundstrap.api.planning": ("check", "pin", "plan", "vet"),
    "groundstrap.api.reading_sheets": ("Entered", "with_sheet"),
    "groundstrap.api.visiting": (
        "AsBuilt",
        "accept_visit",
        "as_built",
        "as_built_of",
        "compare_visits",
        "visited",
        "visits_json",
        "visits_text",
    ),
    "groundstrap.api.looking": ("explain", "rules", "table", "tables"),
    "groundstrap.api.shelving": (
        "Clash",
        "ClashAt",
        "Imported",
        "Photo",
        "PhotoData",
        "Revision",
        "RevisionLine",
        "Saved",
        "Shelf",
        "ShelfJob",
        "Visit",
        "VisitPlace",
        "clash_text",
        "clean_photo",
        "data_folder",
        "export_job",
        "files_beside",
        "history_text",
        "import_job",
        "jobs_text",
        "open_shelf",
        "photos_text",
        "settled",
        "shelf_json",
        "shelf_object",
    ),
    "groundstrap.api.showing": ("pinned_text", "plan_text"),
    "groundstrap.api.telling": (
        "plan_json",
        "rule_text",
        "rule_told",
        "rules_text",
        "table_text",
        "tables_text",
        "vet_json",
        "vet_text",
    ),
    "groundstrap.report.endurance": ("DaysNotRun", "EnduranceAnswer"),
    "groundstrap.report.plan": ("Plan",),
    "groundstrap.report.visited": ("VisitLine", "Visited"),
    "groundstrap.report.days_verdict": ("judged_with",),
    "groundstrap.report.fault_report": ("error_lines", "faults_json"),
}


# What a plain installation leaves out, by the name of its first package.
_EXTRAS: Final = {"alembic": "bench", "PIL": "bench", "sqlalchemy": "bench"}


def __getattr__(name: str) -> object:
    for home, names in _HOMES.items():
        if name in names:
            return getattr(_loaded(home), name)
    raise AttributeError(f"groundstrap.api has no {name!r}; it has {', '.join(__all__)}")


def _loaded(home: str) -> ModuleType:
    try:
        return importlib.import_module(home)
    except ModuleNotFoundError as error:
        extra = _EXTRAS.get((error.name or "").partition(".")[0])
        if extra is None:
            raise
        wanted = f"pip install 'groundstrap[{extra}]'"
        raise CallError("this needs a part of Groundstrap that is not installed", wanted=wanted) from None


def __dir__() -> list[str]:
    return list(__all__)
