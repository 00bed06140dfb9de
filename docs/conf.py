"""The guide as a site: sphinx-build -W -b html docs build/guide. Needs the extra `guide`."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "docs"), str(ROOT / "scenes")]

from glaze import __version__  # noqa: E402

project = "glaze"
copyright = "the developers of glaze, BSD 3-Clause"
version = release = __version__
language = "en"

extensions = [
    "myst_parser",
    "sphinx.ext.autodoc",
    "sphinx.ext.napoleon",
    "sphinx_copybutton",
    "sphinx_design",
    "sphinxcontrib.bibtex",
    "guide",
]
exclude_patterns = ["made"]
bibtex_bibfiles = ["sources.bib"]
myst_enable_extensions = ["colon_fence", "deflist", "attrs_inline"]
myst_heading_anchors = 4
suppress_warnings = ["myst.header"]  # tutorials begin their first section at once

napoleon_numpy_docstring = True
napoleon_google_docstring = False
autodoc_typehints = "description"
autodoc_member_order = "bysource"
nitpicky = False
autodoc_type_aliases = {name: name for name in ("Array", "ArrayLike")}

html_theme = "furo"
html_title = "glaze"
html_static_path = ["guide/static"]
html_css_files = ["guide.css"]
html_show_sourcelink = False
html_theme_options = {
    "light_css_variables": {
        "color-brand-primary": "#35302b",
        "color-brand-content": "#35302b",
        "font-stack": "'Hyperlegible', sans-serif",
    },
    "dark_css_variables": {
        "color-brand-primary": "#f0ece6",
        "color-brand-content": "#f0ece6",
    },
}
copybutton_prompt_text = "$ "
