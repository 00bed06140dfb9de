"""From a colour rough to steps: the inverse of painting a scene."""
