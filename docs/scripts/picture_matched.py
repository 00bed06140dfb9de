"""The five colours that a picture is mostly made of, and the drops that come nearest to each."""

from PIL import Image

import glaze

glaze.paint("scenes/huts", scale=0.1).save("huts.png")  # or any picture of your own
five = Image.open("huts.png").convert("RGB").quantize(5).convert("RGB")
table = glaze.table_of("lifting", "white cartridge")
for pixels, (red, green, blue) in sorted(five.getcolors(), reverse=True):
    best = glaze.match_colour(f"#{red:02x}{green:02x}{blue:02x}", table).best
    print(f"{pixels:6d} px  {best.mix.recipe.text}  {best.de00:.1f} off, {best.band.text}")
