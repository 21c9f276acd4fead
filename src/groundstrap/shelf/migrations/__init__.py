"""The tables' history: a module for each step, run by `open_shelf` where a shelf has not got there yet.

A step that was released is never changed: another one is added.
"""
