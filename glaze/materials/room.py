"""The air of a room: how fast a wet sheet dries there, and how fast bleach works."""

from __future__ import annotations

from dataclasses import dataclass

from glaze.materials.entries import tell


@dataclass(frozen=True)
class Room:
    """Still air of an ordinary room, unless said otherwise."""

    temperature_c: float = 20.0
    humidity_percent: float = 50.0
    air_m_per_s: float = 0.0

    def __post_init__(self) -> None:
        ranges = (
            ("temperature", self.temperature_c, 0.0, 45.0, "degrees Celsius"),
            ("humidity", self.humidity_percent, 0.0, 100.0, "%"),
            ("air", self.air_m_per_s, 0.0, 5.0, "m/s"),
        )
        tell(
            [
                f"The room's {what} is {value:g} {unit}; it may be {low:g} to {high:g}."
                for what, value, low, high, unit in ranges
                if not low <= value <= high
            ]
        )
