"""The desk as a window: the sheet, the order and the table, in Qt and napari."""
