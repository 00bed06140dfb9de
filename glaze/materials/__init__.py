"""What lies on the table: dyes, inks, mixes, papers and bleach."""
