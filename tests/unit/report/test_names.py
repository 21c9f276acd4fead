"""Names stay as they are in every language, even where they read like a quantity."""

from __future__ import annotations

import gettext

from groundstrap.report.language import Language
from groundstrap.words import Name, words

GERMAN = Language("de", gettext.NullTranslations()).in_print


def test_a_number_of_a_cable_is_no_quantity() -> None:
    assert GERMAN.text("6.1") == "6,1"
    assert GERMAN.text(Name("6.1")) == "6.1"
    told = words("cable {number}, {length}", number=Name("6.1"), length="1.5")
    assert GERMAN.text(told) == "cable 6.1, 1,5"
