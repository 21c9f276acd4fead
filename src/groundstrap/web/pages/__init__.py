"""The pages that people see: routes that give HTML, what goes into their templates, and their texts."""

from __future__ import annotations
