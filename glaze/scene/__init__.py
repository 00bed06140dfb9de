"""The scene file: its records, what may stand in them, names and files, reading and writing."""
