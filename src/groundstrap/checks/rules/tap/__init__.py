"""Taps: fuse taps, shared fuses and sockets, cable side by side."""
