"""Texts of the pages that explain: what is asked and an example, the papers' parts, each term."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundstrap.words import Words, words

__all__ = ["ASKED", "FIELDS", "PARTS", "TERMS"]

FIELDS: Final[Mapping[str, tuple[Words, Words, Words]]] = {
    "kind": (words("What is it?"), words("Kind of device"), words("light bar")),
    "label": (words("What does its label say?"), words("Watts or amps, as printed"), words("180 W")),
    "measured": (
        words("What did you measure?"),
        words("Leave empty if nothing; amps, with the volts at its leads if you have them"),
        words("3.2 A at 12.6 V"),
    ),
    "distance": (words("How far is it?"), words("One way, along the cable"), words("4 m")),
    "fed_from": (
        words("Where does it feed from?"),
        words("Where the new wire begins"),
        words("starter battery"),
    ),
    "system": (words("Which volts has the vehicle?"), words("12 V where nothing is said"), words("24 V")),
    "wire": (words("Which wire do you have?"), words("Empty for the one that fits best"), words("12 AWG")),
    "title": (words("What shall the job be called?"), words("May stay empty"), words("Light bar on the van")),
}
"""What the first look asks: its question, a hint, an example."""

ASKED: Final[Mapping[str, tuple[Words, Words]]] = {
    "kind": (words("kind of load"), words("left empty its name says it, where that can be told")),
    "claims": (words("What does its label say?"), words("Watts or amps, as printed")),
    "measured": (
        words("What did you measure?"),
        words("Leave empty if nothing; amps, with the volts at its leads if you have them"),
    ),
    "at": (words("Where is it?"), words("a place of the job, or a new one")),
    "from": (words("From where?"), words("what it is fed by")),
    "to": (words("To what?"), words("left empty it is the load of the circuit's own name")),
}
"""What somebody is asked who adds a load or a circuit, and a hint."""

PARTS: Final[Mapping[str, Words]] = {
    "cover": words("Cover and verdict"),
    "findings": words("What stands against it"),
    "changes": words("What changed"),
    "drawing": words("Drawing of the wiring"),
    "routes": words("Places and runs"),
    "circuits": words("A sheet for each circuit"),
    "fuses": words("Fuse map for the lid"),
    "cables": words("Cables to cut"),
    "reels": words("Reels and metres"),
    "parts": words("Parts to buy"),
    "devices": words("Devices that others bring"),
    "labels": words("Labels, true to size"),
    "instructions": words("Order of work"),
    "dead": words("How to make it dead"),
    "tests": words("Test sheet"),
    "readings": words("Readings and acceptance"),
    "calculations": words("Calculations"),
    "spare": words("What is left over"),
    "parked": words("What is live while parked"),
    "days": words("Days on the battery"),
    "assumptions": words("Assumptions"),
    "sources": words("Sources"),
    "glossary": words("Words explained"),
    "signatures": words("Signatures"),
}
"""Sections of the pack by their names there."""

TERMS: Final[Mapping[str, tuple[Words, Words]]] = {
    "circuit": (
        words("Circuit"),
        words("One run of cable: out from where it is fed to what it feeds, and back along its return."),
    ),
    "return": (
        words("Back, return"),
        words(
            "The negative way from the load to the source: a cable, or the metal of the vehicle. "
            "It loses volts as the way out does."
        ),
    ),
    "window": (
        words("Fuse window"),
        words(
            "From the smallest rating that holds for the load, with its start and the heat "
            "around it, to the largest that opens before the wire is harmed."
        ),
    ),
    "drop": (
        words("Drop"),
        words(
            "Volts lost in cable, fuse and contacts on the way out and back, here as a share of "
            "the source's volts, at the heat that the current makes."
        ),
    ),
    "carries": (
        words("Carries"),
        words("The current that flows for hours when everything on this circuit that may run together does."),
    ),
    "may-carry": (
        words("May carry, ampacity"),
        words(
            "The current that a piece bears for hours where it lies: by its insulation, the heat "
            "around it, and what is bundled with it."
        ),
    ),
    "draws": (
        words("Draws"),
        words(
            "What a load really takes, as an interval that holds 95 times in a hundred: from "
            "readings where there are some, else from claims and what cannot be."
        ),
    ),
    "claim": (
        words("Claim"),
        words(
            "What a label, a manual or a seller says. Met, short, impossible or unproven, by "
            "what was measured and what its plug, lead and fuse could ever pass."
        ),
    ),
    "claim-verdicts": (
        words("Unproven"),
        words("Nobody measured it. Amps, and the volts at its own leads while it runs, settle it."),
    ),
    "situation": (
        words("Situation"),
        words(
            "Everything on that may run together while the vehicle rests, idles, drives or is "
            "cranked; each is solved as a whole."
        ),
    ),
    "stop": (words("Stop"), words("Something that can hurt or burn. The job must not be built like this.")),
    "caution": (
        words("Caution"),
        words("It works, and may fail early, fail in bad weather, or fail an inspection."),
    ),
    "open": (
        words("Not known"),
        words(
            "A rule lacks a value, so that it can neither pass nor fail. What settles it is said beside it."
        ),
    ),
    "assumed": (
        words("Assumed"),
        words("What nobody wrote and the answer rests on, each with its reason. Writing it replaces it."),
    ),
    "existing": (
        words("Existing"),
        words("There before the work. It is checked and never changed; what is left out of it is not known."),
    ),
    "pin": (
        words("Pin"),
        words("A size or rating that is written into the job. It is checked and no longer chosen."),
    ),
    "block": (
        words("Block"),
        words("Where several circuits begin or end: a fuse box, a bus bar, a terminal strip."),
    ),
    "awg": (
        words("mm2 and AWG"),
        words(
            "Both count the copper, in square millimetres or as a gauge number that falls as the "
            "copper grows. The millimetres over the insulation say nothing about it."
        ),
    ),
    "revision": (
        words("Revision"),
        words("The whole job as somebody saved it once. None is ever lost or overwritten."),
    ),
}
"""Each term once: its word and what it means."""
