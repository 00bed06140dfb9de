"""The window of glaze: a sheet to paint on, the order of its steps, and the table beside it.

What needs no window lives in `sitting`, `stroke`, `history`, `keep`, `preview`, `reading` and
`layers`; `app`, `order` and `table` only show it.
"""
