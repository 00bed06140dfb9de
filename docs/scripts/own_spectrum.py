"""A bottle of one's own from its measured swatch (here an invented one), beside a built-in ink."""

import numpy as np

import glaze

wavelength_nm = np.arange(400, 701, 10)
reflectance = 0.82 - 0.7 * np.exp(-(((wavelength_nm - 600) / 60) ** 2))  # invented: a turquoise

table = glaze.table_of("lifting", "white hot-pressed").with_ink("Own", wavelength_nm, reflectance)
strip = glaze.Scrap(table, 3).wash(["Own", "Own 1 + water 4", "Own 1 + Yellow 2"])
for notation, spectrum in zip(strip.munsell, strip.reflectance([450, 550, 650])[0], strict=True):
    print(notation, np.round(spectrum, 2))
