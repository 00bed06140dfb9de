"""What calibration and comparison found, as pages and as files."""
