"""How a colour looks at other times: wet, after years of light, glaze upon glaze."""
