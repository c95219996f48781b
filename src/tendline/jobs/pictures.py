"""Owns showing the photographs of a line: which belong to an event, and each as nothing but the picture.

Does not own where they come from (`photos`, `file_pieces`). Nothing a caller says becomes part of a path.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tendline.core.errors import refuse
from tendline.ground.photo import clean_photo
from tendline.jobs.faults import PHOTO_NAME
from tendline.jobs.file_pieces import SORTS
from tendline.jobs.photos import photo_files
from tendline.jobs.workspace import Workspace


class Pictures:
    """The photographs that lie in a line folder.

    Parameters
    ----------
    space
        The opened line.
    """

    def __init__(self, space: Workspace) -> None:
        sent = sorted((space.folder / SORTS["photos"].folder).glob("*.jpg"))
        self._by_key: dict[str, Path] = {path.stem: path for path in sent if path.is_file()}
        self._of_set: dict[str, list[str]] = {}
        for path in photo_files(space):
            self._by_key[path.name] = path
            self._of_set.setdefault(path.stem.partition("_")[0].lower(), []).append(path.name)

    def of(self, body: Mapping[str, Any], *, whole: bool) -> list[str]:
        """Give the keys of the photographs that an event names; with `whole`, also those of its set."""
        named = [key for key in body.get("photos", ()) if key in self._by_key]
        return [*named, *(self._of_set.get(str(body.get("set", "")).lower(), ()) if whole else ())]

    def bare(self, key: str, *, longest_px: int) -> bytes:
        """Give one as a JPEG with nothing written into it: no place, no time.

        Raises
        ------
        Refused
            JOB-612 when there is none by that key; GND-801, GND-802 when it cannot be opened.
        """
        path = self._by_key.get(key)
        if path is None:
            raise refuse(PHOTO_NAME, f"there is no photograph '{key}' here.", "", "Look at the record again.")
        try:
            data = path.read_bytes()
        except OSError as problem:
            what = f"the photograph cannot be read ({problem.strerror})."
            raise refuse(PHOTO_NAME, what, path.name, "Look at the folder.") from None
        return clean_photo(data, where=path.name, longest_px=longest_px).data
