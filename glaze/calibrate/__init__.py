"""Inks and bands from the painter's own swatches."""
