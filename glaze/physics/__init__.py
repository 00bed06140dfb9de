"""Equations on plain arrays, each with its source."""
