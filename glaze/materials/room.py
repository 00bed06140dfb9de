"""The air of a room: how fast a wet sheet dries there, and how fast bleach works."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Room:
    """Still air of an ordinary room, unless said otherwise."""

    temperature_c: float = 20.0
    humidity_percent: float = 50.0
    air_m_per_s: float = 0.0
