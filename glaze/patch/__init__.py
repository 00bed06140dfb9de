"""A uniform patch: washes and lifts over each other, their colour, and how far to trust it."""
