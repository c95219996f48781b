"""Owns the private certificates of the field page: an authority that can vouch for private names only.

Does not own who connects (`run`) or what they may do (`app`).

Asking a person to trust an authority on their phone is only fair when it cannot vouch for anything else: its
critical name constraints allow private and link-local addresses and names that never belong to the public.
The keys stay in the line folder, readable by their owner only.
"""

import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from tendline.core.errors import refuse
from tendline.server.faults import BAD_KEYS

FOLDER = "keys"
NETWORKS = (
    "10.0.0.0/8",
    "172.16.0.0/12",
    "192.168.0.0/16",
    "169.254.0.0/16",
    "100.64.0.0/10",
    "127.0.0.0/8",
    "fc00::/7",
    "fe80::/10",
    "::1/128",
)
"""Addresses that never belong to the public: RFC 1918, 3927, 6598, 1122, 4193, 4291."""
NAMES = ("local", "lan", "internal", "home.arpa", "localhost")
"""Names that never do: RFC 6762, RFC 8375, RFC 6761, and two in common use."""
LEAF_LIVES, AUTHORITY_LIVES = timedelta(days=397), timedelta(days=10 * 365)
_RENEW_BEFORE = timedelta(days=30)
_EARLIER = timedelta(hours=1)
"""A phone's clock may be behind."""


@dataclass(frozen=True)
class Keys:
    """Where the files are, and the authority's certificate as a phone wants it (DER), with its SHA-256."""

    certificate: Path
    key: Path
    authority: bytes
    fingerprint: str


def keys_for(folder: Path, hosts: Sequence[str], *, now: datetime) -> Keys:
    """Give certificates for these hosts; made when there are none, made again when names or days run out.

    Parameters
    ----------
    folder
        The line folder.
    hosts
        Private addresses and names the page is reached by.
    now
        The present.

    Raises
    ------
    Refused
        SRV-104 when the files there cannot be read.
    """
    home = folder / FOLDER
    home.mkdir(mode=0o700, exist_ok=True)
    try:
        authority, signer = _authority(home, now)
        leaf = home / "page.crt"
        if not leaf.is_file() or not _still_good(_read_certificate(leaf), authority, hosts, now):
            _make_leaf(home, authority, signer, hosts, now)
    except (ValueError, TypeError) as problem:
        do = "Remove that folder; phones must then trust the new certificate."
        raise refuse(BAD_KEYS, f"they cannot be read ({problem}).", str(home), do) from problem
    der = authority.public_bytes(serialization.Encoding.DER)
    return Keys(home / "page.crt", home / "page.key", der, authority.fingerprint(hashes.SHA256()).hex(":"))


def _authority(home: Path, now: datetime) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    certificate, key = home / "authority.crt", home / "authority.key"
    if certificate.is_file() and key.is_file():
        signer = serialization.load_pem_private_key(key.read_bytes(), None)
        if not isinstance(signer, ec.EllipticCurvePrivateKey):
            raise ValueError("not the kind of key that was made")
        return _read_certificate(certificate), signer
    signer = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"tendline field page {os.urandom(3).hex()}")])
    permitted: list[x509.GeneralName] = [x509.DNSName(n) for n in NAMES]
    permitted += [x509.IPAddress(ipaddress.ip_network(net)) for net in NETWORKS]
    made = (
        _builder(name, name, signer.public_key(), now, AUTHORITY_LIVES)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(sign=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(signer.public_key()), critical=False)
        .sign(signer, hashes.SHA256())
    )
    _write_key(key, signer)
    certificate.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    return made, signer


def _make_leaf(
    home: Path,
    authority: x509.Certificate,
    signer: ec.EllipticCurvePrivateKey,
    hosts: Sequence[str],
    now: datetime,
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "tendline field page")])
    made = (
        _builder(name, authority.subject, key.public_key(), now, LEAF_LIVES)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(sign=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([_general(host) for host in hosts]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False
        )
        .sign(signer, hashes.SHA256())
    )
    _write_key(home / "page.key", key)
    (home / "page.crt").write_bytes(made.public_bytes(serialization.Encoding.PEM))


def _still_good(
    leaf: x509.Certificate, authority: x509.Certificate, hosts: Sequence[str], now: datetime
) -> bool:
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    fresh = leaf.not_valid_before_utc <= now < leaf.not_valid_after_utc - _RENEW_BEFORE
    return fresh and leaf.issuer == authority.subject and set(names) >= {_general(host) for host in hosts}


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, now: datetime, lives: timedelta
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _EARLIER)
        .not_valid_after(now - _EARLIER + lives)
    )


def _usage(*, sign: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not sign,
        key_cert_sign=sign,
        crl_sign=sign,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _general(host: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(host.strip("[]")))
    except ValueError:
        return x509.DNSName(host)


def _read_certificate(path: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(path.read_bytes())


def _write_key(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    """Write a key so that nobody else can read it, not even for a moment."""
    text = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    path.unlink(missing_ok=True)
    handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(handle, "wb") as stream:
        stream.write(text)


def may_vouch_for(host: str) -> bool:
    """Say whether the authority can vouch for a host: a private address, or a name that is never public."""
    try:
        address = ipaddress.ip_address(host.strip("[]"))
    except ValueError:
        return any(host == name or host.endswith(f".{name}") for name in NAMES)
    return any(
        address in net for net in map(ipaddress.ip_network, NETWORKS) if net.version == address.version
    )
