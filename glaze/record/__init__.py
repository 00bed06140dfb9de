"""Records that are read from files: what may stand in them, and mistakes told in words."""
