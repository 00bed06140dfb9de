"""Questions of bottles: what they reach, which is nearest, which to buy, two side by side."""
