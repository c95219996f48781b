"""Owns the field page as a folder of files for any https host, with the round inside it sealed.

Does not own the round (`jobs.serve`) or the pages (`pages`).

The host is not trusted: the round is encrypted (AES-256-GCM) with a key that stands only in the fragment of
the address, which no browser sends. What is written down comes back as a file: `tendline take`.
"""

import base64
import json
import os
from pathlib import Path

from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from tendline.core.errors import refuse
from tendline.jobs.answer import Answer
from tendline.jobs.serve import Desk
from tendline.server.faults import FOLDER_IN_USE
from tendline.server.pages import WORKER, is_desk, load_pages

SEALED = "round.sealed"
MARK = "tendline-export.txt"
_SAYS = "The field page of tendline, written by: tendline serve --export. Written over by the next one.\n"


def export(desk: Desk, folder: str) -> Answer:
    """Write the page and the sealed round as files.

    Parameters
    ----------
    desk
        Gives the round.
    folder
        Where; new, empty, or written by this before.

    Raises
    ------
    Refused
        SRV-101, SRV-103; RULE-1xx, GND-xxx.
    """
    pages, target = load_pages(), Path(folder)
    if target.exists() and not (target / MARK).is_file() and any(target.iterdir()):
        do = "Choose a new folder, or one written by --export before."
        raise refuse(FOLDER_IN_USE, "the folder holds something else.", folder, do)
    carried = json.dumps(desk.carried(), separators=(",", ":")).encode()
    key, nonce = AESGCM.generate_key(256), os.urandom(12)
    sealed = nonce + AESGCM(key).encrypt(nonce, carried, SEALED.encode())
    files = {name: content for name, content in pages.content.items() if not is_desk(name)}
    files |= {WORKER: pages.worker, SEALED: sealed, MARK: _SAYS.encode()}
    try:
        for name, content in files.items():
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            (target / name).write_bytes(content)
    except OSError as problem:
        do = "Choose another folder."
        raise refuse(FOLDER_IN_USE, f"{problem.strerror}.", folder, do) from problem
    fragment = "#open=" + base64.urlsafe_b64encode(key).rstrip(b"=").decode()
    text = (
        f"{len(files)} files in {folder}. Put them on any https host, and open its address with this behind:"
        f"\n\n  {fragment}\n\n"
        "The host cannot read the round: the key is in that part of the address, which is not sent. Who has\n"
        "the whole address can. What is written down comes back as a file: tendline take FILE."
    )
    return Answer(text, {"folder": folder, "files": sorted(files), "fragment": fragment})
