"""Sheets that print at true size."""
