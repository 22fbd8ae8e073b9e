"""What is built and installed: the package, the demo library, the themes, and nothing that lies about in a working tree."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
_LEFT_OUT = shutil.ignore_patterns(
    ".git", ".venv", "__pycache__", "*.egg-info", ".hypothesis", ".mypy_cache", ".ruff_cache", ".pytest_cache"
)


def run(*command: str | Path, cwd: Path | None = None) -> str:
    return subprocess.run([str(part) for part in command], cwd=cwd, check=True, capture_output=True, text=True).stdout


@pytest.fixture(scope="module")
def dirty_tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A working tree with a station's private folder, a draft, an editor's leavings and a picture planted in it."""
    tree = Path(shutil.copytree(ROOT, tmp_path_factory.mktemp("tree") / "main", ignore=_LEFT_OUT))
    for planted in (
        "specs/.station/drafts/x.toml",
        "specs/.station/lots.db",
        "specs/drinks/x.toml~",
        "specs/picture.png",
        "station/x.log",
    ):
        (tree / planted).parent.mkdir(parents=True, exist_ok=True)
        (tree / planted).write_text("planted", encoding="utf-8")
    return tree


@pytest.fixture(scope="module")
def built(dirty_tree: Path) -> Path:
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", dirty_tree / "dist", cwd=dirty_tree)
    return dirty_tree / "dist"


def _shipped(root: Path) -> set[str]:
    data = {
        str(path.relative_to(root))
        for name in ("specs", "themes")
        for path in (root / name).rglob("*.toml")
        if ".station" not in path.parts
    }
    suffixes = {".py", ".txt", ".tcss", ".json"}
    code = {str(path.relative_to(root)) for path in (root / "station").rglob("*") if path.suffix in suffixes}
    return data | code


def test_sdist_and_wheel_carry_the_same_files_and_only_those(dirty_tree: Path, built: Path) -> None:
    wanted = _shipped(dirty_tree)
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        names = {name for name in wheel.namelist() if ".dist-info/" not in name}
    moved = {f"station/{name}" if name.startswith(("specs/", "themes/")) else name for name in wanted}
    assert names == moved
    with tarfile.open(next(built.glob("*.tar.gz"))) as sdist:
        inside = {name.partition("/")[2] for name in sdist.getnames()}
    assert wanted <= inside
    assert not [name for name in inside if ".station" in name or name.endswith(("~", ".png", ".log", ".db"))]


def fresh_venv(folder: Path) -> Path:
    """A venv with nothing of its own; what the package depends on is borrowed from the one that runs the tests."""
    venv.create(folder, with_pip=False)
    site = next(folder.glob("lib/python*/site-packages"))
    (site / "borrowed.pth").write_text(sysconfig.get_path("purelib"), encoding="utf-8")
    return folder / "bin"


def install(into: Path, *what: str | Path) -> None:
    run(
        sys.executable,
        "-m",
        "pip",
        "--python",
        into / "python",
        "install",
        "-q",
        "--no-deps",
        "--no-index",
        "--ignore-installed",
        *what,
    )


def test_the_wheel_answers_from_anywhere(built: Path, tmp_path: Path) -> None:
    here = fresh_venv(tmp_path / "venv")
    install(here, next(built.glob("*.whl")))
    rows = json.loads(run(here / "station", "list", "--json", cwd=Path("/")))
    assert len(rows) == len(list((ROOT / "specs" / "drinks").glob("*.toml")))
    where = run(here / "python", "-c", "import station.files.places as p; print(p.shipped('specs'))", cwd=Path("/")).strip()
    assert Path(where).is_relative_to(tmp_path / "venv")


def test_an_editable_install_sees_an_edit_to_specs_at_once(dirty_tree: Path, tmp_path: Path) -> None:
    here = fresh_venv(tmp_path / "venv")
    install(here, "--no-build-isolation", "-e", dirty_tree)
    file = dirty_tree / "specs" / "drinks" / "tin-lantern.toml"
    before = file.read_text(encoding="utf-8")
    file.write_text(before.replace('name = "Tin Lantern"', 'name = "Zinc Lantern"'), encoding="utf-8")
    try:
        rows = json.loads(run(here / "station", "list", "--json", cwd=Path("/")))
    finally:
        file.write_text(before, encoding="utf-8")
    assert "Zinc Lantern" in {row["name"] for row in rows}
