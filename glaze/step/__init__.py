"""The kinds of steps: wash, lift, water lift, rinse; each as it is written and as it is laid."""
