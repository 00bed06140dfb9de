"""What lies on the sheet, and what a step does to it: the law, plain and compiled."""
