"""The painter's questions, answered before the brush touches the sheet."""
