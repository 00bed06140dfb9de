"""Finding a painted sheet in a scan or photo, and reading its patches."""
