"""Owns who calls: the paired phone or browser behind a key, and how often each may call.

Does not own pairing (`jobs.serve`) or what a caller may ask (`app`, `desk`).
"""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request

from tendline.jobs.serve import Desk, Phone
from tendline.server.answering import Stop, address_of
from tendline.server.limits import Bucket


class Callers:
    """Everybody who calls.

    Parameters
    ----------
    desk
        Knows who is paired.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._calls = Bucket(burst=120, per_second=10)
        self._strangers = Bucket(burst=20, per_second=0.2)

    def stranger(self, request: Request) -> None:
        """Count a call of somebody not known.

        Raises
        ------
        Stop
            429 when it is one too many.
        """
        if not self._strangers.take(address_of(request)):
            raise Stop(429, "", "too many tries.", "Wait a minute.")

    async def phone(self, request: Request) -> Phone:
        """Find who calls by the key that comes along.

        Raises
        ------
        Stop
            401 for nobody known, 429 for too many calls.
        """
        kind, _, key = request.headers.get("authorization", "").partition(" ")
        key = key if kind == "Bearer" else ""
        phone = await run_in_threadpool(self._desk.phone_with, key) if key else None
        if phone is None:
            self.stranger(request)
            do = "Scan the code on the machine. What is written down stays on the phone until it is sent."
            raise Stop(401, "", "this phone is not paired, or no longer.", do)
        if not self._calls.take(phone.via):
            raise Stop(429, "", "too many calls.", "Wait a moment.")
        return phone

    async def at_desk(self, request: Request) -> Phone:
        """Find who calls, and let only a browser of the desk page on.

        Raises
        ------
        Stop
            As `phone`; 403 for a phone.
        """
        phone = await self.phone(request)
        if not phone.desk:
            do = "Open the address that tendline serve shows for the desk page."
            raise Stop(403, "", "this phone was paired for the field page only.", do)
        return phone
