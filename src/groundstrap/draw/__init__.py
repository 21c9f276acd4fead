"""Drawings of a job: the wiring with its parts and ways back, and the runs by place and route."""
