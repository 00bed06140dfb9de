"""A scene settled over its sheet: kinds of steps, their films, and how they are laid and seen."""
