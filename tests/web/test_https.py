"""HTTPS: the station's own certificate, what is served with it, and who is told what."""

from __future__ import annotations

import http.client
import ipaddress
import os
import socket
import ssl
import stat
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.verification import PolicyBuilder, VerificationError
from cryptography.x509.verification import Store as Trusted
from flask import Flask

from catalogue.errors import BadInput, StationProblem
from web import certificates, create_app
from web import serving as serving_module
from web.certificates import Certificate
from web.network import Network, is_this_pc
from web.opening import OpenStation, opened
from web.serving import serving

NAMES = ["station.lan", "192.168.4.20"]


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Certificate:
    return certificates.own(tmp_path_factory.mktemp("own"), NAMES)


def _read(file: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(file.read_bytes())


class TestTheCertificate:
    def test_a_desk_that_trusts_the_authority_takes_it_for_each_name(
        self, own: Certificate
    ) -> None:
        """By another implementation's verifier than the one that serves (pyca, RFC 5280 and the
        CA/Browser Forum's rules for servers)."""
        assert own.authority
        trusted = Trusted([_read(own.authority)])
        for name in (*NAMES, "localhost", "127.0.0.1"):
            try:
                subject: x509.GeneralName = x509.IPAddress(ipaddress.ip_address(name))
            except ValueError:
                subject = x509.DNSName(name)
            verifier = PolicyBuilder().store(trusted).build_server_verifier(subject)
            verifier.verify(_read(own.file), [])
        elsewhere = PolicyBuilder().store(trusted).build_server_verifier(x509.DNSName("other.lan"))
        with pytest.raises(VerificationError):
            elsewhere.verify(_read(own.file), [])

    def test_the_authority_can_vouch_for_no_site_outside(self, own: Certificate) -> None:
        """Even with its key: the constraint on names is in what the desks trust."""
        assert own.authority
        authority = _read(own.authority)
        key = certificates.serialization.load_pem_private_key(
            own.authority.with_suffix(".key").read_bytes(), None
        )
        assert isinstance(key, ec.EllipticCurvePrivateKey)
        forged = Certificate(
            own.file.with_name("f.crt"), own.file.with_name("f.key"), own.authority
        )
        certificates._sign(forged, authority, key, ["bank.example"])
        verifier = (
            PolicyBuilder().store(Trusted([authority]))
            .build_server_verifier(x509.DNSName("bank.example"))
        )  # fmt: skip
        with pytest.raises(VerificationError):
            verifier.verify(_read(forged.file), [])

    def test_it_is_what_browsers_ask_for(self, own: Certificate) -> None:
        assert own.authority
        served, authority = _read(own.file), _read(own.authority)
        lasts = served.not_valid_after_utc - served.not_valid_before_utc
        assert lasts <= timedelta(days=398)
        assert authority.not_valid_after_utc > datetime.now(UTC) + timedelta(days=3000)
        usage = served.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
        assert list(usage) == [certificates.ExtendedKeyUsageOID.SERVER_AUTH]
        assert set(NAMES) <= set(own.names())
        digest = authority.fingerprint(hashes.SHA256()).hex()
        assert own.fingerprint().replace(":", "").lower() == digest

    @pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX's")
    def test_its_keys_are_readable_by_this_user_alone(self, own: Certificate) -> None:
        assert stat.S_IMODE(own.file.parent.stat().st_mode) == 0o700
        for key in own.file.parent.glob("*.key"):
            assert stat.S_IMODE(key.stat().st_mode) == 0o600

    def test_it_stays_until_it_is_nearly_over_or_another_name_is_asked_for(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        made = certificates.own(tmp_path, NAMES)
        first, authority = made.file.read_bytes(), made.fingerprint()
        certificates.own(tmp_path, NAMES)
        assert made.file.read_bytes() == first
        certificates.own(tmp_path, [*NAMES, "other.lan"])
        second = made.file.read_bytes()
        assert second != first and "other.lan" in made.names()

        class Later(datetime):
            @classmethod
            def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
                return datetime.now(UTC) + timedelta(days=370)

        monkeypatch.setattr(certificates, "datetime", Later)
        certificates.own(tmp_path, [*NAMES, "other.lan"])
        assert made.file.read_bytes() != second
        assert made.fingerprint() == authority  # the desks need not trust another

    def test_what_is_damaged_is_made_anew(self, tmp_path: Path) -> None:
        made = certificates.own(tmp_path, NAMES)
        made.key.write_bytes(b"nonsense")
        certificates.own(tmp_path, NAMES).context()
        assert made.authority
        made.authority.write_bytes(b"")
        certificates.own(tmp_path, NAMES).context()

    @pytest.mark.parametrize("name", ["", "a b", "-a", "a_b", "x" * 64, "a..b", "über", "a/../b"])
    def test_what_is_no_name_is_told(self, tmp_path: Path, name: str) -> None:
        with pytest.raises(StationProblem, match="neither a host's name nor an address"):
            certificates.own(tmp_path, [name])

    def test_one_that_is_given_must_be_whole(self, own: Certificate, tmp_path: Path) -> None:
        assert certificates.given(own.file, own.key).authority is None
        other = certificates.own(tmp_path, NAMES)
        for file, key in ((own.file, other.key), (own.file, None), (tmp_path / "gone", None)):
            with pytest.raises(StationProblem):
                certificates.given(file, key)


@pytest.fixture
def station(tmp_path: Path) -> Iterator[OpenStation]:
    with opened(tmp_path / "station", make=True) as found:
        yield found


@contextmanager
def _served(station: OpenStation, certificate: Certificate | None) -> Iterator[tuple[str, int]]:
    with serving(station, "127.0.0.1", 0, certificate=certificate) as address:
        yield address, int(address.rpartition(":")[2])


def _trusting(certificate: Certificate) -> ssl.SSLContext:
    assert certificate.authority
    return ssl.create_default_context(cafile=str(certificate.authority))


def _ask(
    port: int, context: ssl.SSLContext, path: str = "/sign-in", host: str = "localhost"
) -> http.client.HTTPResponse:
    connection = http.client.HTTPSConnection("127.0.0.1", port, context=context, timeout=20)
    connection.request("GET", path, headers={"Host": host})
    answer = connection.getresponse()
    answer.body = answer.read().decode()  # type: ignore[attr-defined]
    connection.close()
    return answer


class TestServed:
    def test_a_desk_that_trusts_it_sees_the_door_with_safe_cookies(
        self, station: OpenStation
    ) -> None:
        own = certificates.own(station.folder, [])
        with _served(station, own) as (address, port):
            answer = _ask(port, _trusting(own))
            assert address.startswith("https://") and answer.status == 200
            cookie = answer.headers["Set-Cookie"]
            assert cookie.startswith("__Host-asheard=")
            for said in ("; Secure", "; HttpOnly", "; Path=/", "; SameSite=Lax"):
                assert said in cookie
            # A desk that does not trust it yet could then not come in at all.
            assert "Strict-Transport-Security" not in answer.headers
            page = _ask(port, _trusting(own), "/trust").body  # type: ignore[attr-defined]
            assert all(line in page for line in own.fingerprint_lines())
            fetched = _ask(port, _trusting(own), "/trust/station.crt")
            assert "BEGIN CERTIFICATE" in fetched.body  # type: ignore[attr-defined]
            assert "PRIVATE" not in fetched.body  # type: ignore[attr-defined]

    def test_with_a_given_certificate_browsers_are_told_to_stay_with_https(
        self, station: OpenStation, own: Certificate
    ) -> None:
        with _served(station, certificates.given(own.file, own.key)) as (_, port):
            answer = _ask(port, _trusting(own))
            age = answer.headers["Strict-Transport-Security"]
            assert age == "max-age=31536000; includeSubDomains"  # a year: ASVS 5.0, 3.4.1
            assert _ask(port, _trusting(own), "/trust/station.crt").status == 404

    @pytest.mark.filterwarnings("ignore:ssl.TLSVersion")
    def test_older_protocols_and_weak_ciphers_are_refused(self, station: OpenStation) -> None:
        own = certificates.own(station.folder, [])
        with _served(station, own) as (_, port):
            for newest, works in ((ssl.TLSVersion.TLSv1_1, False), (ssl.TLSVersion.TLSv1_2, True),
                                  (ssl.TLSVersion.TLSv1_3, True)):  # fmt: skip
                context = _trusting(own)
                context.set_ciphers("ALL:@SECLEVEL=0")
                context.minimum_version = ssl.TLSVersion.TLSv1
                context.maximum_version = newest
                if works:
                    assert _ask(port, context).status == 200
                else:
                    with pytest.raises((ssl.SSLError, OSError)):
                        _ask(port, context)
            context = _trusting(own)
            context.maximum_version = ssl.TLSVersion.TLSv1_2
            context.set_ciphers("AES128-SHA:AES256-SHA:AES128-GCM-SHA256")  # no forward secrecy
            with pytest.raises((ssl.SSLError, OSError)):
                _ask(port, context)

    def test_a_visitor_by_plain_http_is_told_where_it_is(self, station: OpenStation) -> None:
        with _served(station, certificates.own(station.folder, [])) as (_, port):
            for host, shown in (
                ("station.lan", f"https://station.lan:{port}"),
                ('x"><script>', "https://127.0.0.1"),
                ("", "https://127.0.0.1"),
            ):
                with socket.create_connection(("127.0.0.1", port), timeout=20) as visitor:
                    named = f"Host: {host}:{port}\r\n" if host else ""
                    visitor.sendall(f"GET / HTTP/1.1\r\n{named}\r\n".encode())
                    told = b""
                    while piece := visitor.recv(4096):
                        told += piece
                text = told.decode()
                assert text.startswith("HTTP/1.1 400")
                assert "served by HTTPS" in text and shown in text
                assert "<script>" not in text

    def test_whoever_says_nothing_or_nonsense_holds_nobody_up(self, station: OpenStation) -> None:
        """More silent visitors than there are threads; cheroot alone would wait for each."""
        own = certificates.own(station.folder, [])
        with _served(station, own) as (_, port):
            silent = [socket.create_connection(("127.0.0.1", port)) for _ in range(40)]
            for number, visitor in enumerate(silent[:6]):
                visitor.sendall([b"\x00", b"hello\r\n\r\n", b"\x16\x03"][number % 3])
            began = time.monotonic()
            assert _ask(port, _trusting(own)).status == 200
            assert time.monotonic() - began < 5
            for visitor in silent:
                visitor.close()

    def test_silent_visitors_hold_nobody_up_without_tls_either(self, station: OpenStation) -> None:
        with _served(station, None) as (_, port):
            silent = [socket.create_connection(("127.0.0.1", port)) for _ in range(40)]
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
            began = time.monotonic()
            connection.request("GET", "/live/alive")
            assert connection.getresponse().status == 200
            assert time.monotonic() - began < 5
            for visitor in silent:
                visitor.close()

    def test_a_certificate_nearly_over_is_renewed_while_it_runs(
        self, station: OpenStation, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        own = certificates.own(station.folder, ["station.lan"])
        before = own.file.read_bytes()
        monkeypatch.setattr(serving_module, "CERTIFICATE_EVERY_S", 0.2)
        monkeypatch.setattr(certificates, "RENEW_BEFORE", timedelta(days=4000))
        monkeypatch.setattr(certificates, "_serves", lambda *_: False)
        with _served(station, own) as (_, port):
            for _ in range(100):
                seen = ssl.get_server_certificate(("127.0.0.1", port), timeout=20)
                if seen.encode().split() != before.split():
                    break
                time.sleep(0.1)
            assert seen.encode().split() != before.split()
            assert "station.lan" in own.names()


class TestNames:
    @pytest.fixture
    def asked(self, station: OpenStation) -> Callable[[str], int]:
        hosts = frozenset({"box", "localhost", "radio.example.org", "*.wild.example"})
        app: Flask = create_app(
            station.store, station.index, datetime.now, {"HOSTS": hosts, "SECRET_KEY": "x"}
        )
        return lambda host: app.test_client().get("/live/alive", headers={"Host": host}).status_code

    @pytest.mark.parametrize(
        "host",
        ["box", "BOX:8037", "box.local", "box.fritz.box", "localhost:8037", "127.0.0.1",
         "192.168.4.20:8037", "[::1]:8037", "radio.example.org", "a.wild.example"],
    )  # fmt: skip
    def test_its_own_names_and_any_address_are_answered(
        self, asked: Callable[[str], int], host: str
    ) -> None:
        assert asked(host) == 200

    @pytest.mark.parametrize(
        "host",
        ["evil.example", "localhost.evil.example", "xbox", "example.org", "a.b.wild.example",
         "radio.example.org.evil.example"],
    )  # fmt: skip
    def test_a_name_of_somebody_else_s_is_not(self, asked: Callable[[str], int], host: str) -> None:
        """Or a page elsewhere could give its own name this address (DNS rebinding)."""
        assert asked(host) == 403


def _network(**told: object) -> Network:
    given: dict[str, object] = {"host": "127.0.0.1", "port": 0, "https": False, "plain_http": False,
                                "certificate": None, "key": None, "name": ()}  # fmt: skip
    return Network(**{**given, **told})  # type: ignore[arg-type]


class TestWhatTheCommandIsTold:
    def test_this_pc_only_is_plain_and_open_to_others_is_https(self, tmp_path: Path) -> None:
        assert _network().certificate_for(tmp_path) is None
        assert _network(https=True).certificate_for(tmp_path) is not None
        for host in ("0.0.0.0", "192.168.4.20", "::"):
            found = _network(host=host).certificate_for(tmp_path)
            assert found and found.authority
        assert _network(host="0.0.0.0", plain_http=True).certificate_for(tmp_path) is None

    def test_a_certificate_of_one_s_own(self, own: Certificate, tmp_path: Path) -> None:
        found = _network(certificate=own.file, key=own.key).certificate_for(tmp_path)
        assert found and found.authority is None

    def test_what_does_not_go_together_is_told(self, own: Certificate, tmp_path: Path) -> None:
        for told in ({"https": True, "plain_http": True}, {"key": own.key}):
            with pytest.raises(BadInput):
                _network(**told).certificate_for(tmp_path)

    @pytest.mark.parametrize(
        ("host", "here"),
        [("127.0.0.1", True), ("127.4.5.6", True), ("::1", True), ("LocalHost", True),
         ("0.0.0.0", False), ("192.168.4.20", False), ("::", False), ("box.lan", False)],
    )  # fmt: skip
    def test_what_is_this_pc(self, host: str, here: bool) -> None:
        assert is_this_pc(host) is here
