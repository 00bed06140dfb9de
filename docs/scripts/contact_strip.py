"""Every bottle down the strip, from neat to 1 + 32 across: strip.png."""

import glaze

PARTS = (0, 1, 2, 4, 8, 16, 32)  # of water to one of ink
table = glaze.table_of("lifting", "cream cartridge")
inks = [ink.name for ink in table.palette.bottles]

strip = glaze.Scrap(table, (len(inks), len(PARTS)))
for row, ink in enumerate(inks):
    here = [[number == row] for number in range(len(inks))]  # this row, all columns
    strip.wash([glaze.diluted(table.mix(ink), parts) for parts in PARTS], here)
strip.picture(px=60).save("strip.png")
