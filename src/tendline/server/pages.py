"""Owns the built pages: finding them in the package, and the service worker that keeps them on the phone.

Does not own what is on them (`web/`) or building them (`tools/build_web.py`).
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable

from tendline.core.errors import refuse
from tendline.server.faults import NO_PAGES

INDEX = "index.html"
DESK = "desk.html"
WORKER = "sw.js"
FOLDER = "pages"

TYPES: Mapping[str, str] = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".webmanifest": "application/manifest+json",
    ".json": "application/json",
}
"""Content types by ending; nothing else is served."""

_WORKER = """\
const V=__VERSION__, FILES=__FILES__.map(f=>new URL(f,self.registration.scope).href), SHELL='shell-'+V;
self.addEventListener('install',e=>e.waitUntil((async()=>{const c=await caches.open(SHELL);
  await Promise.all(FILES.map(async f=>{const r=await fetch(new Request(f,{cache:'reload'}));
    if(!r.ok||r.redirected)throw new Error('precache '+f+' '+r.status);await c.put(f,r)}))})()));
self.addEventListener('activate',e=>e.waitUntil((async()=>{for(const k of await caches.keys())
  if(k.startsWith('shell-')&&k!==SHELL)await caches.delete(k);await self.clients.claim()})()));
self.addEventListener('message',e=>{if(e.data==='apply-update')self.skipWaiting();
  if(e.data==='version'&&e.ports[0])e.ports[0].postMessage(V)});
const shell=async u=>(await (await caches.open(SHELL)).match(u))||fetch(u);
self.addEventListener('fetch',e=>{const r=e.request,u=new URL(r.url);
  if(r.method!=='GET'||u.origin!==location.origin||r.headers.has('range'))return;
  const root=new URL('./',self.registration.scope).href;
  if(r.mode==='navigate'){if(u.href.split('#')[0]===root)e.respondWith(shell(root));return}
  if(FILES.includes(u.href))e.respondWith(shell(u.href))});
"""


@dataclass(frozen=True)
class Pages:
    """The built pages.

    Parameters
    ----------
    content
        Every file by its path, with slashes.
    version
        Of all of them together: changes when any byte does.
    """

    content: Mapping[str, bytes]
    version: str

    @property
    def worker(self) -> bytes:
        """The service worker: it knows every file of the phone's page, and nothing else."""
        names = ["./", *sorted(name for name in self.content if name != INDEX and not is_desk(name))]
        text = _WORKER.replace("__VERSION__", json.dumps(self.version[:16]))
        return text.replace("__FILES__", json.dumps(names)).encode()


def is_desk(name: str) -> bool:
    """Say whether a file is for the desk only, so that no phone has to keep it."""
    return name.rsplit("/", 1)[-1].startswith("desk")


def load_pages() -> Pages:
    """Read the built pages out of the package.

    Raises
    ------
    Refused
        SRV-101 when they were never built.
    """
    root = files("tendline.server") / FOLDER
    content = dict(_read(root, "")) if root.is_dir() else {}
    if INDEX not in content:
        do = "In a checkout call: make web. Otherwise install tendline again."
        raise refuse(NO_PAGES, "the pages for the phone are not in this tendline.", "", do)
    total = hashlib.sha256(_WORKER.encode())
    for name in sorted(content):
        total.update(f"{name}\0{len(content[name])}\0".encode() + content[name])
    return Pages(content, total.hexdigest())


def _read(folder: Traversable, prefix: str) -> list[tuple[str, bytes]]:
    found: list[tuple[str, bytes]] = []
    for one in folder.iterdir():
        if one.is_dir():
            found += _read(one, f"{prefix}{one.name}/")
        elif suffix_of(one.name) in TYPES:
            found.append((f"{prefix}{one.name}", one.read_bytes()))
    return found


def suffix_of(name: str) -> str:
    """Give the ending of a file name with its dot."""
    return name[name.rfind(".") :] if "." in name else ""
