"""Parts of the sheet as coverage: outlines in mm, enclosed areas of the sketch, and unions."""
