"""The station's own certificate: an authority that desks come to trust, and what it signs.

The authority is made once for a station, for ten years, and may vouch only for the names and
private addresses of a network (name constraints, RFC 5280, 4.2.1.10): a desk that trusts it trusts
it with no site outside. It signs the certificate that is served, for the names and addresses of
this PC, anew whenever those change or its time is nearly over. Keys are ECDSA on P-256, in files
that only this user can read.
"""

from __future__ import annotations

import ipaddress
import re
import socket
import ssl
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from catalogue.errors import StationProblem
from catalogue.private_file import write_privately

FOLDER = "certificates"
AUTHORITY_YEARS = 10
SERVED_DAYS = 397
"""As long as browsers take a certificate for (CA/Browser Forum, ballot SC-081 and before)."""

RENEW_BEFORE = timedelta(days=30)
_A_DAY_EARLIER = timedelta(days=1)
"""So that a desk whose clock is a little behind does not refuse it."""

_PRIVATE = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8",
            "fc00::/7", "fe80::/10", "::1/128")  # fmt: skip
"""Addresses of networks of one's own (RFC 1918, 3927, 4193, 4291)."""

_OWN_NAMES = ("localhost", "local", "lan", "internal", "home.arpa", "home", "fritz.box")
"""Names that mean a network's own (RFC 6761, 6762, 8375; "internal" reserved by ICANN, 2024; the
others are what common routers use: common practice, no source)."""

_NAME = re.compile(r"(?=.{1,253}$)[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}"
                   r"[a-z0-9])?)*", re.IGNORECASE)  # fmt: skip

Address = ipaddress.IPv4Address | ipaddress.IPv6Address


@dataclass(frozen=True, slots=True)
class Certificate:
    """What is served: its two files, and for one of our own the authority's file."""

    file: Path
    key: Path
    authority: Path | None = None

    def context(self) -> ssl.SSLContext:
        """TLS 1.2 or newer with Python's choice of ciphers. Raises StationProblem."""
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.minimum_version = ssl.TLSVersion.TLSv1_2
        context.set_ciphers("ECDHE+AESGCM:ECDHE+CHACHA20")
        context.options |= ssl.OP_NO_COMPRESSION | ssl.OP_NO_RENEGOTIATION
        self.load(context)
        return context

    def load(self, context: ssl.SSLContext) -> None:
        """Serve this certificate from the next connection on. Raises StationProblem."""
        try:
            # A key with a passphrase is refused: nobody is there to type it at a start by night.
            context.load_cert_chain(self.file, self.key, password=lambda: "")
        except (OSError, ValueError) as problem:
            told = getattr(problem, "reason", None) or getattr(problem, "strerror", None) or problem
            raise StationProblem(
                f"The certificate {self.file} and its key {self.key} cannot be used ({told}). Give "
                "both as PEM files that belong together, the key without a passphrase."
            ) from problem

    def fingerprint(self) -> str:
        """SHA-256 of what a desk is to trust: the authority's if it is ours, else the served."""
        found = x509.load_pem_x509_certificate((self.authority or self.file).read_bytes())
        digest = found.fingerprint(hashes.SHA256()).hex().upper()
        return ":".join(digest[i : i + 2] for i in range(0, len(digest), 2))

    def fingerprint_lines(self) -> list[str]:
        """The fingerprint in four lines of eight, the same on a screen and in a terminal."""
        pairs = self.fingerprint().split(":")
        return [":".join(pairs[i : i + 8]) for i in range(0, len(pairs), 8)]

    def ends(self) -> datetime:
        """When the served certificate is over."""
        return x509.load_pem_x509_certificate(self.file.read_bytes()).not_valid_after_utc

    def names(self) -> list[str]:
        """The names and addresses it is for."""
        served = x509.load_pem_x509_certificate(self.file.read_bytes())
        try:
            said = served.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        except x509.ExtensionNotFound:
            return []
        return [
            *said.get_values_for_type(x509.DNSName),
            *map(str, said.get_values_for_type(x509.IPAddress)),
        ]


def given(file: Path, key: Path | None) -> Certificate:
    """A certificate of the station's choice. Raises StationProblem if it cannot be used."""
    found = Certificate(file.expanduser(), (key or file).expanduser())
    for path in (found.file, found.key):
        if not path.is_file():
            raise StationProblem(f"There is no file {path}. Give the certificate as PEM files.")
    found.context()
    try:
        ends, _, _ = found.ends(), found.names(), found.fingerprint()
    except ValueError as problem:  # OpenSSL takes some that the other library does not
        raise StationProblem(
            f"The certificate {file} cannot be read to its end ({problem}). Have it made anew, or "
            "leave it out: then the station makes one of its own."
        ) from problem
    if ends < datetime.now(UTC):
        raise StationProblem(f"The certificate {file} is over since {ends:%Y-%m-%d}.")
    return found


def own(folder: Path, names: list[str]) -> Certificate:
    """The station's own certificate, for these names and addresses and those of this PC.

    Made or renewed when there is none, when it is over within 30 days, or when a name is not in
    it. Raises StationProblem for a name that is none, or a folder that cannot be written.
    """
    where = folder / FOLDER
    certificate = Certificate(where / "station.crt", where / "station.key", where / "authority.crt")
    wanted = _checked([*names, *names_of_this_pc()])
    if _serves(certificate, wanted):
        return certificate
    try:
        where.mkdir(mode=0o700, exist_ok=True)
    except OSError as problem:
        raise StationProblem(
            f"The folder {where} cannot be made ({problem.strerror or problem})."
        ) from problem
    authority, key = _authority(where, wanted)
    _sign(certificate, authority, key, wanted)
    return certificate


def names_of_this_pc() -> list[str]:
    """The names and addresses by which the other desks may know this PC."""
    bare = socket.gethostname().partition(".")[0].lower()
    found = ["localhost", "127.0.0.1", "::1"]
    if _NAME.fullmatch(bare):
        found += [bare, f"{bare}.local"]
    with suppress(OSError):
        # No packet is sent: the system says from which address it would go.
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as towards:
            towards.connect(("192.0.2.1", 9))
            found.append(towards.getsockname()[0])
    with suppress(OSError):
        found += [str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None)]
    return list(dict.fromkeys(name.partition("%")[0] for name in found))


def is_name(host: str) -> bool:
    """Whether this is a host's name or an address."""
    return _address(host) is not None or bool(_NAME.fullmatch(host))


def _checked(names: list[str]) -> list[str]:
    wanted = []
    for name in names:
        address = _address(name)
        if address is not None and address.is_unspecified:
            continue  # 0.0.0.0 is every address of this PC, and those are in already
        if not is_name(name):
            raise StationProblem(f"“{name}” is neither a host's name nor an address.")
        wanted.append(str(address) if address is not None else name.lower())
    return sorted(set(wanted))


def _address(text: str) -> Address | None:
    try:
        return ipaddress.ip_address(text.strip("[]"))
    except ValueError:
        return None


def _serves(certificate: Certificate, wanted: list[str]) -> bool:
    """Whether there is a certificate for all of these names that is not over soon."""
    if certificate.authority is None:
        return False
    try:
        served = x509.load_pem_x509_certificate(certificate.file.read_bytes())
        authority = x509.load_pem_x509_certificate(certificate.authority.read_bytes())
        served.verify_directly_issued_by(authority)
        soon = datetime.now(UTC) + RENEW_BEFORE
        good = served.not_valid_after_utc > soon and authority.not_valid_after_utc > soon
        certificate.context()
        return good and set(wanted) <= set(certificate.names())
    except (OSError, ValueError, TypeError, InvalidSignature, StationProblem):
        return False


def _authority(
    where: Path, wanted: list[str]
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """The authority with its key: the one there is, if it may sign for these names."""
    file, key_file = where / "authority.crt", where / "authority.key"
    try:
        found = x509.load_pem_x509_certificate(file.read_bytes())
        key = serialization.load_pem_private_key(key_file.read_bytes(), None)
        soon = datetime.now(UTC) + timedelta(days=SERVED_DAYS)
        lasts = found.not_valid_after_utc > soon and _may_sign(found, wanted)
        fits = lasts and found.public_key() == key.public_key()
        if fits and isinstance(key, ec.EllipticCurvePrivateKey):
            return found, key
    except (OSError, ValueError, TypeError):
        pass
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "asheard"),
            x509.NameAttribute(NameOID.COMMON_NAME, f"asheard of {socket.gethostname()[:40]}"),
        ]
    )
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _A_DAY_EARLIER)
        .not_valid_after(now + timedelta(days=AUTHORITY_YEARS * 365))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(_constraints(wanted), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    write_privately(key_file, _key_bytes(key))
    write_privately(file, made.public_bytes(serialization.Encoding.PEM))
    return made, key


def _constraints(wanted: list[str]) -> x509.NameConstraints:
    """Names and addresses of networks of one's own, and those that were asked for."""
    permitted: list[x509.GeneralName] = [x509.DNSName(name) for name in _OWN_NAMES]
    permitted += [x509.IPAddress(ipaddress.ip_network(net)) for net in _PRIVATE]
    for name in wanted:
        address = _address(name)
        if address is None:
            permitted.append(x509.DNSName(name))
        elif not any(address in ipaddress.ip_network(net) for net in _PRIVATE):
            permitted.append(x509.IPAddress(ipaddress.ip_network(address)))
    return x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None)


def _may_sign(authority: x509.Certificate, wanted: list[str]) -> bool:
    try:
        said = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    except x509.ExtensionNotFound:
        return False
    permitted = said.permitted_subtrees or []
    domains = [str(one.value) for one in permitted if isinstance(one, x509.DNSName)]
    networks = [one.value for one in permitted if isinstance(one, x509.IPAddress)]
    for name in wanted:
        address = _address(name)
        if address is None:
            fits = any(name == domain or name.endswith(f".{domain}") for domain in domains)
        else:
            fits = any(address in network for network in networks)  # type: ignore[operator]
        if not fits:
            return False
    return True


def _sign(
    certificate: Certificate,
    authority: x509.Certificate,
    authority_key: ec.EllipticCurvePrivateKey,
    wanted: list[str],
) -> None:
    """Make what is served: its key first, so that a crash between leaves what is made anew."""
    key = ec.generate_private_key(ec.SECP256R1())
    now = datetime.now(UTC)
    said = [
        x509.DNSName(name) if (address := _address(name)) is None else x509.IPAddress(address)
        for name in wanted
    ]
    issuer = authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    made = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "asheard")]))
        .issuer_name(authority.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _A_DAY_EARLIER)
        .not_valid_after(now + timedelta(days=SERVED_DAYS - 1))
        .add_extension(x509.SubjectAlternativeName(said), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(issuer), critical=False
        )
        .sign(authority_key, hashes.SHA256())
    )
    write_privately(certificate.key, _key_bytes(key))
    write_privately(certificate.file, made.public_bytes(serialization.Encoding.PEM))


def _usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs, key_cert_sign=signs, crl_sign=signs, content_commitment=False,
        key_encipherment=False, data_encipherment=False, key_agreement=False,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _key_bytes(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
