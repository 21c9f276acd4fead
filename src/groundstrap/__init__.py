"""Groundstrap: a workbench for people who add electrical equipment to vehicles and boats.

People and front ends import :mod:`groundstrap.api`; every other module is free to change. This module
holds the version alone, so that importing it costs nothing.
"""

__version__ = "0.1.0.dev0"
