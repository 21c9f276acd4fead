"""Loads: claims, sockets, stall and switch-on."""
