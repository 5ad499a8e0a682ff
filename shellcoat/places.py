"""Where things are kept: what the program brings along, and where a person's own files go.

The wheel carries `resources` and `demo_projects` inside the package; in a checkout they stand
beside it. The person's folders follow the habits of each operating system. Nothing here
creates a folder: whoever writes into one makes it first.
"""

from __future__ import annotations

from pathlib import Path

from shellcoat.errors import WorldError

PROGRAM = "shellcoat"
_PACKAGE = Path(__file__).resolve().parent


class MissingResourceError(WorldError):
    """A folder the program brings along is gone: the installation is damaged."""

    def __init__(self, name: str, looked_in: tuple[Path, ...]) -> None:
        places = " or ".join(str(folder) for folder in looked_in)
        super().__init__(
            f"The program's own folder '{name}' is missing: it should be {places}. "
            "The installation is incomplete. Install shellcoat again."
        )
        self.name = name
        self.looked_in = looked_in


def resources_dir() -> Path:
    """Return the folder of what the program reads and never writes."""
    return _brought_along("resources")


def demos_dir() -> Path:
    """Return the folder of the demo projects, which the program never writes to either."""
    return _brought_along("demo_projects")


def _brought_along(name: str) -> Path:
    # Inside the package first: an installed copy must not pick up a stranger's folder beside it.
    candidates = (_PACKAGE / name, _PACKAGE.parent / name)
    for folder in candidates:
        if folder.is_dir():
            return folder
    raise MissingResourceError(name, candidates)


# platformdirs is imported on first use, as most commands never ask and all of them should start
# at once. `appauthor=False` spares Windows a second folder of the same name.


def user_data_dir() -> Path:
    """Return where the program keeps data of this person that is not a book."""
    from platformdirs import user_data_path

    return user_data_path(PROGRAM, appauthor=False)


def user_config_dir() -> Path:
    """Return where this person's settings are kept."""
    from platformdirs import user_config_path

    return user_config_path(PROGRAM, appauthor=False)


def user_log_dir() -> Path:
    """Return where the program writes its log files."""
    from platformdirs import user_log_path

    return user_log_path(PROGRAM, appauthor=False)


def books_dir() -> Path:
    """Return where books go unless the person names another place: in their documents."""
    from platformdirs import user_documents_path

    return user_documents_path() / PROGRAM
