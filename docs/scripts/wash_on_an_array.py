"""A graded blue wash with a round sun left bare, and a strip of it lifted again: wash.png."""

import numpy as np

import glaze

table = glaze.table_of("lifting", "white hot-pressed")
row, column = np.mgrid[0:200, 0:300]  # pixels, down and across
sky = np.linspace(1.0, 0.2, 200)[:, None]  # shares of a full film, thinner towards the horizon
sun = np.hypot(row - 70, column - 210) < 40

scrap = glaze.Scrap(table, (200, 300)).wash("Blue 2 + water 5", sky * ~sun)
scrap.lift(row > 185, parts_water=9)  # read glaze.CAUTION before you do it with real bleach
scrap.picture(dpi=150).save("wash.png")
