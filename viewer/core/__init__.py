"""The desk without a window: what is open, in the hand and done, and the picture of it; no Qt."""
