"""What bleach gets back: ghosts, and the reach of a lift over a sheet."""
