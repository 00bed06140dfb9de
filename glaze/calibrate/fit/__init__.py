"""From patches to inks, papers and their bands."""
