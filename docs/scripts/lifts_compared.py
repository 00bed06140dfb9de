"""What bleach of four strengths gets back from black over red, with how far to trust it."""

import glaze

table = glaze.table_of("lifting", "white cartridge", bleach=glaze.Bleach(percent=4.5, age_months=6))
print(glaze.CAUTION)
for parts_water in (0, 4, 9, 19):
    scrap = glaze.Scrap(table).wash("Red 1 + water 2").wash("Black 1 + water 4")
    before = scrap.value[0, 0]
    scrap.lift(parts_water=parts_water, minutes=1)
    print(f"1 + {parts_water}: from {before:.1f} to {scrap.munsell[0]}, {scrap.trusted.band.text}")
