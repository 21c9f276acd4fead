"""Plugs: connectors, sockets and trailer pins."""
