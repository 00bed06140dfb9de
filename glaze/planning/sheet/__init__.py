"""The plan of a whole sheet: places, order, amounts, minutes, values and warnings."""
