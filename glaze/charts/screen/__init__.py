"""Pages for a screen that stands beside the sheet."""
