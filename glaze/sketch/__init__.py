"""The sketch: a picture read as a scan, and its line cleaned of the paper."""
