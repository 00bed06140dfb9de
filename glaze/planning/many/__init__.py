"""Many scenes, or one scene with many values: worked out side by side, here or elsewhere."""
