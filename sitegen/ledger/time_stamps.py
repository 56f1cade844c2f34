"""Time stamps of the ledger: requests and answers of RFC 3161, kept beside the ledger and verified offline.

    stamps/12.tsq             the request for line 12: the SHA-256 of its bytes, and a random number
    stamps/12.tsr             the answer of a time-stamping authority
    stamps/authorities.pem    root certificates of the authorities that the store trusts

A stamp shows that the line, and with it every line before, existed at the stated time. It does not rest on the
store's word: the authority signs the time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sitegen.disk import write_whole
from sitegen.ledger.lines import Line

if TYPE_CHECKING:
    from cryptography.x509 import Certificate

STAMPS = "stamps"
AUTHORITIES = "authorities.pem"
CHAIN = "ledger-chain.jsonl"
"""In a hand-over: the lines from the vehicle's last one to the stamped one."""
REQUEST, ANSWER = ".tsq", ".tsr"


class StampError(Exception):
    """A time stamp cannot be used. The message says why, in plain words."""


@dataclass(frozen=True)
class Stamp:
    """A verified time stamp of one ledger line."""

    sequence: int
    """Number of the line that it stamps."""
    time: datetime
    """The time that the authority signed, in UTC."""
    authority: str


def write_request(store: Path, line: Line) -> Path:
    """Write the request for a line's time stamp, and return its file. An existing request stays as it is.

    Raises StampError if the extra `stamps` is not installed.
    """
    _require_library()
    from rfc3161_client import TimestampRequestBuilder
    from rfc3161_client.base import HashAlgorithm

    target = store / STAMPS / f"{line.sequence}{REQUEST}"
    if not target.exists():
        builder = TimestampRequestBuilder().data(line.text).hash_algorithm(HashAlgorithm.SHA256)
        target.parent.mkdir(exist_ok=True)
        write_whole(target, builder.cert_request(cert_request=True).build().as_bytes(), lasting=True)
    return target


def keep_answer(store: Path, lines: Sequence[Line], answer: bytes, roots: bytes | None) -> Stamp:
    """Verify an authority's answer and keep it beside the ledger. `roots` are further certificates to trust (PEM).

    Raises StampError if the answer stamps no line of this ledger or does not verify; then nothing is written.
    """
    trusted = _roots(store) + ([] if roots is None else _certificates(roots))
    stamp = verify_answer(lines, answer, trusted)
    if roots is not None:
        known = (store / STAMPS / AUTHORITIES).read_bytes() if (store / STAMPS / AUTHORITIES).exists() else b""
        if roots.strip() not in known:
            write_whole(store / STAMPS / AUTHORITIES, known + roots.strip() + b"\n", lasting=True)
    write_whole(store / STAMPS / f"{stamp.sequence}{ANSWER}", answer, lasting=True)
    return stamp


def verify_answer(lines: Sequence[Line], answer: bytes, trusted: Sequence[Certificate]) -> Stamp:
    """Return the stamp of an answer. Raises StampError if it does not verify against a line and a trusted root."""
    _require_library()
    from rfc3161_client import VerifierBuilder, decode_timestamp_response
    from rfc3161_client.errors import VerificationError

    try:
        response = decode_timestamp_response(answer)
        imprint = response.tst_info.message_imprint.message.hex()
        signed_at = response.tst_info.gen_time.astimezone(UTC)
    except Exception as error:  # the library raises several kinds for bytes that are no answer
        raise StampError("it is not an answer of a time-stamping authority, or the authority refused") from error
    line = next((line for line in lines if line.digest == imprint), None)
    if line is None:
        raise StampError("it stamps something that is no line of this ledger")
    if not trusted:
        raise StampError("no root certificate is known to verify it with: name the authority's file with --roots")
    builder = VerifierBuilder()
    for root in dict.fromkeys(trusted):
        builder = builder.add_root_certificate(root)
    try:
        builder.build().verify_message(response, line.text)
    except (VerificationError, ValueError) as error:
        raise StampError(f"its signature does not verify: {error}") from error
    return Stamp(line.sequence, signed_at, _authority(trusted, response.signed_data.certificates))


def stamps_of(store: Path, lines: Sequence[Line]) -> Iterator[tuple[str, Stamp | StampError]]:
    """Yield each stored answer's path in the store, with its verified stamp, or the error that makes it invalid."""
    for file in sorted((store / STAMPS).glob(f"*{ANSWER}"), key=lambda path: (len(path.stem), path.stem)):
        place = f"{STAMPS}/{file.name}"
        try:
            stamp = verify_answer(lines, file.read_bytes(), _roots(store))
            if file.stem != str(stamp.sequence):
                raise StampError(f"it stamps line {stamp.sequence}, not line {file.stem}")
            yield place, stamp
        except StampError as error:
            yield place, error


def stamp_files(store: Path, lines: Sequence[Line], line: Line) -> dict[str, bytes]:
    """Return the files that prove when a line existed, by path in a hand-over. Empty if no stamp covers the line.

    They are the first stamp at or after the line, the certificates to verify it with, and every line from this one to
    the stamped one, since each line contains the digest of the one before.
    """
    numbers = [int(file.stem) for file in (store / STAMPS).glob(f"*{ANSWER}") if file.stem.isdecimal()]
    stamped = min((number for number in numbers if number >= line.sequence), default=None)
    if stamped is None:
        return {}
    chain = b"".join(each.text + b"\n" for each in lines[line.sequence - 1 : stamped])
    files = (f"{STAMPS}/{stamped}{ANSWER}", f"{STAMPS}/{AUTHORITIES}")
    return {CHAIN: chain, **{path: (store / path).read_bytes() for path in files if (store / path).exists()}}


def _authority(trusted: Sequence[Certificate], enclosed: set[bytes]) -> str:
    """Return the name in the signing certificate, or in the first root if none is enclosed."""
    from cryptography.x509 import NameOID, load_der_x509_certificate

    certificates = [*map(load_der_x509_certificate, sorted(enclosed)), *trusted]
    leaf = next((each for each in certificates if each.issuer != each.subject), certificates[0])
    names = leaf.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return str(names[0].value) if names else leaf.subject.rfc4514_string()


def _roots(store: Path) -> list[Certificate]:
    path = store / STAMPS / AUTHORITIES
    return _certificates(path.read_bytes()) if path.exists() else []


def _certificates(content: bytes) -> list[Certificate]:
    from cryptography.x509 import load_pem_x509_certificates

    try:
        return load_pem_x509_certificates(content)
    except ValueError as error:
        raise StampError("the root certificates cannot be read: one or more in PEM form are expected") from error


def _require_library() -> None:
    try:
        import rfc3161_client  # noqa: F401
    except ImportError:
        raise StampError("time stamps need an extra: pip install 'sitegen[stamps]'") from None
