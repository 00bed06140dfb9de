"""The sheets drawn."""
