"""Constraints for pip: the lowest version of each library that pyproject.toml allows."""

import re
import tomllib
from pathlib import Path

project = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text())["project"]
for needed in project["dependencies"]:
    found = re.match(r"([\w-]+)>=([\w.]+)", needed)
    if found:
        print(f"{found[1]}=={found[2]}.*")
