"""The window of glaze: a sheet to paint on, the order of its steps, and the table beside it.

`core` knows no window: what is open, in the hand and done (`sitting`), what is decided
(`drafting`), the sheet kept settled (`settling`), strokes (`laying`), the picture while it is
painted (`preview`), opening and saving (`keep`). `window` only shows it: `app` joins its parts.
"""
