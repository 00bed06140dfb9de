"""What the pages say holds: links, code, commands, the list of names at the top."""

from __future__ import annotations

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_every_link_of_a_page_leads_somewhere(page):
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", page.read_text(encoding="utf-8")):
        if not target.startswith(("http", "mailto")):
            assert (page.parent / target).exists(), target


@pytest.mark.parametrize(
    ("page", "made", "least"),
    [("README.md", "small.png", 10_000), ("docs/python.md", "scrap.png", 200)],
)
def test_the_code_of_a_page_runs(page, made, least, tmp_path, monkeypatch):
    code = re.search(r"```python\n(.*?)```", (ROOT / page).read_text(encoding="utf-8"), re.S)
    assert code is not None
    monkeypatch.chdir(tmp_path)
    (tmp_path / "scenes").symlink_to(ROOT / "scenes")
    exec(compile(code.group(1), page, "exec"), {})
    assert (tmp_path / made).stat().st_size > least


def test_every_command_the_readme_names_is_there():
    from glaze.cli.main import COMMANDS

    for name in set(re.findall(r"`glaze ([a-z]+)", README)):
        assert name in COMMANDS


def test_the_readme_gives_exactly_two_commands_to_set_up():
    shell = re.findall(r"```sh\n(.*?)```", README, re.S)
    lines = [line for block in shell for line in block.splitlines() if "pip install" in line]
    assert len(lines) == 2
    assert lines[1] == 'python3 -m pip install -e ".[test]" && python3 -m pytest'
    run = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert lines[1] in run


def test_the_top_holds_only_what_it_should():
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.splitlines()
    if not tracked:
        pytest.skip("not a git checkout")
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml"}
    allowed |= {"glaze", "viewer", "tests", "scenes", "docs"}
    top = {path.split("/")[0] for path in tracked}
    assert {name for name in top if not name.startswith(".")} <= allowed


def test_the_caution_page_says_what_the_program_says():
    from glaze.materials.bleach import CAUTION

    page = (ROOT / "docs" / "caution.md").read_text(encoding="utf-8")
    for line in CAUTION.splitlines():
        assert line in page


def test_no_page_advises_what_would_set_gas_free():
    for page in PAGES:
        for line in page.read_text(encoding="utf-8").splitlines():
            for word in ("vinegar", "peroxide", "thiosulf", "ascorb", "antichlor"):
                if word in line.lower():
                    assert re.search(r"\b(no|never|not|nothing)\b", line.lower()), (page, line)


MENTIONED = re.compile(r"(?<![\w/.])(glaze(?:\.[a-z_]+)+)(?![\w(])")
FILES = re.compile(
    r"(?<![\w/])((?:glaze|viewer|tests|docs|scenes)/[\w/]+\.(?:py|toml|md|csv|png|jpg))"
)
SOURCES = [*PAGES, *(p for r in ("glaze", "viewer") for p in sorted((ROOT / r).rglob("*.py")))]


@pytest.mark.parametrize("page", SOURCES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_no_module_or_file_is_named_that_isnt_there(page):
    text = page.read_text(encoding="utf-8")
    for name in FILES.findall(text):
        assert (ROOT / name).exists(), name
    for dotted in MENTIONED.findall(text):
        parts = dotted.split(".")
        # a module, or a name that stands in the module or at the front door
        for count in range(len(parts), 0, -1):
            path = ROOT.joinpath(*parts[:count])
            file = next(
                (f for f in (path.with_suffix(".py"), path / "__init__.py") if f.exists()), None
            )
            if file is not None:
                rest = parts[count : count + 1]
                assert not rest or rest[0] in file.read_text(encoding="utf-8"), dotted
                break


def test_decisions_are_numbered_without_gaps():
    pages = sorted((ROOT / "docs" / "decisions").glob("[0-9]*.md"))
    numbers = [int(page.name[:3]) for page in pages]
    assert numbers == list(range(1, len(pages) + 1))
    for number, page in zip(numbers, pages, strict=True):
        assert page.read_text(encoding="utf-8").startswith(f"# {number}. "), page.name


def test_a_class_or_file_name_means_one_thing():
    """No class of one name in two modules; no two modules of one name but those named here."""
    classes: dict[str, list[str]] = {}
    modules: dict[str, list[str]] = {}
    for room in ("glaze", "viewer"):
        for path in sorted((ROOT / room).rglob("*.py")):
            where = path.relative_to(ROOT).as_posix()
            if not path.name.startswith("__") and path.name not in ("records.py", "file.py"):
                modules.setdefault(path.name, []).append(where)
            for node in ast.parse(path.read_text(encoding="utf-8")).body:
                if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                    classes.setdefault(node.name, []).append(where)
    assert {n: w for n, w in classes.items() if len(w) > 1} == {}
    assert {n: w for n, w in modules.items() if len(w) > 1} == {}


def test_no_two_test_files_share_a_name():
    """They are collected without packages, so that a second one of a name stops the whole run."""
    names = [path.name for path in (ROOT / "tests").rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))
