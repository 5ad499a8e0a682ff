"""The places: found in a checkout and in an installed copy, and where each system wants them."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from shellcoat import places
from shellcoat.errors import WorldError

CHECKOUT = Path(__file__).resolve().parents[1]

# Folders of the XDG Base Directory Specification, 0.8: variable, and default under the home.
XDG = {
    "user_data_dir": ("XDG_DATA_HOME", ".local/share"),
    "user_config_dir": ("XDG_CONFIG_HOME", ".config"),
    "user_log_dir": ("XDG_STATE_HOME", ".local/state"),
}
on_linux = pytest.mark.skipif(sys.platform != "linux", reason="follows a Linux specification")


def lay_out(site: Path, *, inside: bool, folders: tuple[str, ...]) -> Path:
    """Copy what places needs into `site`, with the folders inside the package or beside it."""
    package = site / "shellcoat"
    package.mkdir(parents=True)
    for name in ("__init__.py", "places.py", "errors.py"):
        shutil.copy(CHECKOUT / "shellcoat" / name, package / name)
    for name in folders:
        (package / name if inside else site / name).mkdir()
    return package


def ask(site: Path, expression: str) -> str:
    """Evaluate an expression in a fresh interpreter that sees only `site` and itself."""
    code = (
        "import json, sys; sys.path.insert(0, sys.argv[1])\n"
        "from shellcoat import places\n"
        f"print(json.dumps({expression}))"
    )
    run = subprocess.run(
        [sys.executable, "-I", "-c", code, str(site)], capture_output=True, text=True, check=True
    )
    return str(json.loads(run.stdout))


def test_checkout_folders_are_found() -> None:
    assert places.resources_dir() == CHECKOUT / "resources"
    assert places.demos_dir() == CHECKOUT / "demo_projects"


@pytest.mark.parametrize("inside", [True, False])
def test_folders_are_found_from_a_path_with_a_space(tmp_path: Path, inside: bool) -> None:
    site = tmp_path / "a site"
    package = lay_out(site, inside=inside, folders=("resources", "demo_projects"))
    home = package if inside else site
    assert ask(site, "str(places.resources_dir())") == str(home / "resources")
    assert ask(site, "str(places.demos_dir())") == str(home / "demo_projects")


def test_the_package_wins_over_a_strangers_folder_beside_it(tmp_path: Path) -> None:
    package = lay_out(tmp_path, inside=True, folders=("resources",))
    (tmp_path / "resources").mkdir()
    assert ask(tmp_path, "str(places.resources_dir())") == str(package / "resources")


def test_a_missing_folder_says_where_it_should_be(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = lay_out(tmp_path, inside=True, folders=("resources",))
    monkeypatch.setattr(places, "_PACKAGE", package)
    with pytest.raises(places.MissingResourceError) as caught:
        places.demos_dir()
    assert isinstance(caught.value, WorldError)
    assert caught.value.name == "demo_projects"
    assert str(package / "demo_projects") in str(caught.value)
    assert str(tmp_path / "demo_projects") in str(caught.value)


def test_importing_places_does_not_import_platformdirs(tmp_path: Path) -> None:
    lay_out(tmp_path, inside=True, folders=())
    assert ask(tmp_path, "'platformdirs' in sys.modules") == "False"


@on_linux
@pytest.mark.parametrize("function", XDG)
def test_personal_folders_follow_the_xdg_variables(
    function: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    variable, _ = XDG[function]
    monkeypatch.setenv(variable, str(tmp_path / "chosen"))
    place = getattr(places, function)()
    assert place.is_relative_to(tmp_path / "chosen" / "shellcoat")
    assert not place.exists()


@on_linux
@pytest.mark.parametrize("function", XDG)
def test_personal_folders_have_the_xdg_defaults(
    function: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    variable, default = XDG[function]
    monkeypatch.delenv(variable, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    place = getattr(places, function)()
    assert place.is_relative_to(tmp_path / default / "shellcoat")


@on_linux
def test_books_go_to_the_documents_folder_the_person_chose(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # user-dirs.dirs is how xdg-user-dirs records the folders of a desktop in its own language.
    (tmp_path / "user-dirs.dirs").write_text('XDG_DOCUMENTS_DIR="$HOME/Dokumente"\n')
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.delenv("XDG_DOCUMENTS_DIR", raising=False)
    assert places.books_dir() == tmp_path / "Dokumente" / "shellcoat"
