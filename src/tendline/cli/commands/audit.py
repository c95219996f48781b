"""Owns the arguments of `tendline audit`.

Does not own the job (`jobs.audit`).
"""

import click

from tendline.cli.common import Call, common


@click.command()
@common
def command(call: Call) -> int:
    """Check that the record is whole and that every device is accounted for.

    Exit 1 when the ledger does not balance, 3 when the record is damaged.
    """
    from tendline.jobs.audit import audit

    return call.show(audit(call.workspace()))
