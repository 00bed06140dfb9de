"""Drawing on a page of true size, and writing it as PDF, SVG and PNG."""
