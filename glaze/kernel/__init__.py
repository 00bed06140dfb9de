"""The compiled per-pixel chain."""
