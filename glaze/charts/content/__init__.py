"""What stands on each sheet: recipes, colours and words, before anything is drawn."""
