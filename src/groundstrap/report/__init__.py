"""The only place that rounds and words: results as JSON, as text for a terminal, and as lists for the work.

Nothing is imported here, so that the message on a wrong call needs no more than it says.
"""
