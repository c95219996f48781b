"""The private authority: what it may vouch for, checked by the certificate library of Python's own TLS."""

import ssl
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization

from tendline.core.errors import Refused
from tendline.server.authority import _authority as authority_of
from tendline.server.authority import _make_leaf as make_leaf
from tendline.server.authority import keys_for, may_vouch_for

NOW = datetime.now(UTC)  # noqa: TID251 - the TLS library has its own clock
HOSTS = ("field.local", "192.168.77.20")


def verified(root: Path, home: Path, host: str) -> bool:
    """Shake hands through OpenSSL as Python brings it, which knows nothing of ours (RFC 5280, section 6)."""
    ours, theirs = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER), ssl.create_default_context(cafile=str(root))
    ours.load_cert_chain(home / "page.crt", home / "page.key")
    to_server, to_phone = ssl.MemoryBIO(), ssl.MemoryBIO()
    server = ours.wrap_bio(to_server, to_phone, server_side=True)
    phone = theirs.wrap_bio(to_phone, to_server, server_hostname=host)
    for _ in range(4):
        for side in (phone, server):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
            except ssl.SSLCertVerificationError:
                return False
    return phone.version() is not None


def test_the_page_has_a_certificate_a_phone_can_check(tmp_path: Path) -> None:
    keys = keys_for(tmp_path, HOSTS, now=NOW)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(keys.certificate, keys.key)
    leaf = x509.load_pem_x509_certificate(keys.certificate.read_bytes())
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(x509.DNSName) == ["field.local"]
    # Browsers and phones refuse server certificates of more than 398 and 825 days.
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=398)
    home = tmp_path / "keys"
    assert verified(home / "authority.crt", home, "field.local")
    assert verified(home / "authority.crt", home, "192.168.77.20")
    assert not verified(home / "authority.crt", home, "other.local")


def test_keys_are_for_their_owner_only(tmp_path: Path) -> None:
    keys_for(tmp_path, HOSTS, now=NOW)
    for name in ("authority.key", "page.key"):
        assert stat.S_IMODE((tmp_path / "keys" / name).stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "keys").stat().st_mode) == 0o700


def test_the_authority_cannot_vouch_for_a_public_name(tmp_path: Path) -> None:
    """OpenSSL refuses a leaf for a public name, and takes the same leaf from an authority without bounds."""
    home = tmp_path / "keys"
    home.mkdir()
    authority, signer = authority_of(home, NOW)
    make_leaf(home, authority, signer, ["bank.example"], NOW)
    assert not verified(home / "authority.crt", home, "bank.example")
    make_leaf(home, authority, signer, ["8.8.8.8"], NOW)
    assert not verified(home / "authority.crt", home, "8.8.8.8")
    free = (
        x509.CertificateBuilder()
        .subject_name(authority.subject)
        .issuer_name(authority.subject)
        .public_key(signer.public_key())
        .serial_number(7)
        .not_valid_before(NOW - timedelta(hours=2))
        .not_valid_after(NOW + timedelta(days=9))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .sign(signer, hashes.SHA256())
    )
    (tmp_path / "free.crt").write_bytes(free.public_bytes(serialization.Encoding.PEM))
    assert verified(tmp_path / "free.crt", home, "8.8.8.8")


def test_certificates_stay_until_names_or_days_run_out(tmp_path: Path) -> None:
    first = keys_for(tmp_path, HOSTS, now=NOW)
    content = first.certificate.read_bytes()
    assert keys_for(tmp_path, HOSTS, now=NOW).certificate.read_bytes() == content
    moved = keys_for(tmp_path, ("field.local", "192.168.77.21"), now=NOW)
    assert moved.certificate.read_bytes() != content
    assert moved.fingerprint == first.fingerprint  # phones go on trusting the same authority
    content = moved.certificate.read_bytes()
    later = keys_for(tmp_path, ("field.local",), now=NOW + timedelta(days=370))
    assert later.certificate.read_bytes() != content


def test_a_broken_key_is_told(tmp_path: Path) -> None:
    keys_for(tmp_path, HOSTS, now=NOW)
    (tmp_path / "keys/authority.key").write_text("not a key")
    with pytest.raises(Refused) as caught:
        keys_for(tmp_path, HOSTS, now=NOW)
    assert caught.value.faults[0].code.id == "SRV-104"


@pytest.mark.parametrize(
    ("host", "private"),
    [
        ("10.1.2.3", True),
        ("172.31.0.1", True),
        ("172.32.0.1", False),
        ("192.168.0.9", True),
        ("100.64.0.1", True),
        ("fd00::1", True),
        ("8.8.8.8", False),
        ("2001:db8::1", False),
        ("field.local", True),
        ("local.example", False),
        ("evillocal", False),
        ("truck.home.arpa", True),
    ],
)
def test_private_names_and_addresses(host: str, private: bool) -> None:
    """RFC 1918, 6598, 4193, 6762, 8375."""
    assert may_vouch_for(host) is private
