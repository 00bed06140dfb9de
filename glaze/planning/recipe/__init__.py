"""Which drops, which dilution: recipes, names, shadows and ladders."""
