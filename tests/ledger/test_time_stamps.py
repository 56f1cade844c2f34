"""Time stamps of the ledger, from an authority of the test's own made by `openssl ts`. Source: RFC 3161.

openssl alone verifies what is handed over; our own verification is compared with it.
"""

from __future__ import annotations

import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from sitegen.ledger.ledger_files import read_ledger
from sitegen.ledger.time_stamps import StampError, verify_answer
from tests.conftest import run_sitegen

CONFIG = """
[req]
distinguished_name = name
prompt = no
[name]
CN = Hollow Clock Time Stamping
[root]
basicConstraints = critical,CA:true
keyUsage = critical,keyCertSign
subjectKeyIdentifier = hash
[leaf]
extendedKeyUsage = critical,timeStamping
keyUsage = critical,digitalSignature
subjectKeyIdentifier = hash
authorityKeyIdentifier = keyid
[tsa]
default_tsa = authority
[authority]
serial = {folder}/serial
crypto_device = builtin
signer_cert = {folder}/tsa.pem
signer_key = {folder}/tsa.key
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256, sha512
ess_cert_id_alg = sha256
"""


def openssl(*arguments: object) -> str:
    command = ["openssl", *map(str, arguments)]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


@pytest.fixture(scope="module")
def authority(tmp_path_factory) -> Path:
    """A time-stamping authority: a root, a certificate for stamping, and its settings."""
    folder = tmp_path_factory.mktemp("authority")
    config = folder / "authority.cnf"
    config.write_text(CONFIG.format(folder=folder))
    (folder / "serial").write_text("01\n")
    key = ("-newkey", "rsa:2048", "-nodes")
    subject = ("-subj", "/CN=Hollow Clock Root")
    openssl("req", "-x509", *key, "-keyout", folder / "root.key", "-out", folder / "root.pem", "-days", 3650,
            "-config", config, "-extensions", "root", *subject)  # fmt: skip
    openssl("req", *key, "-keyout", folder / "tsa.key", "-out", folder / "tsa.csr", "-config", config)
    openssl("x509", "-req", "-in", folder / "tsa.csr", "-CA", folder / "root.pem", "-CAkey", folder / "root.key",
            "-out", folder / "tsa.pem", "-days", 3650, "-extfile", config, "-extensions", "leaf")  # fmt: skip
    return folder


def answer_to(request: Path, authority: Path, name: str = "it.tsr") -> Path:
    answer = authority / name
    openssl("ts", "-reply", "-config", authority / "authority.cnf", "-section", "authority", "-queryfile", request,
            "-out", answer)  # fmt: skip
    return answer


@pytest.fixture(scope="module")
def stamped(published_thrice: Path, authority: Path, tmp_path_factory) -> Path:
    """A published store whose ledger is stamped."""
    store = shutil.copytree(published_thrice, tmp_path_factory.mktemp("stamped") / "store")
    done = run_sitegen("ledger", store, "stamp")
    assert done.returncode == 0, done.stderr
    (request,) = (store / "stamps").glob("*.tsq")
    answer = answer_to(request, authority)
    done = run_sitegen("ledger", store, "stamp", "--answer", answer, "--roots", authority / "root.pem")
    assert done.returncode == 0, done.stderr
    assert "signed by Hollow Clock Time Stamping" in done.stdout
    return store


def test_a_stamp_is_verified_with_the_ledger_and_said(stamped: Path):
    done = run_sitegen("ledger", stamped, "verify")
    assert done.returncode == 0, done.stderr
    number = len(read_ledger(stamped)[0])
    assert f"Line {number} existed by 20" in done.stdout


def test_openssl_verifies_the_time_stamp_of_the_buyers_copy(stamped: Path, tmp_path: Path):
    """The stamped line is the last of the chain in the hand-over, and the chain begins with the vehicle's line."""
    stock = "K900"
    packed = tmp_path / "given.zip"
    assert run_sitegen("ledger", stamped, "hand-over", stock, "--to", packed).returncode == 0
    zipfile.ZipFile(packed).extractall(tmp_path)
    chain = (tmp_path / "ledger-chain.jsonl").read_bytes().splitlines()
    assert chain[0] == (tmp_path / "ledger-lines.jsonl").read_bytes().splitlines()[-1]
    line = tmp_path / "line"
    line.write_bytes(chain[-1])
    (answer,) = (tmp_path / "stamps").glob("*.tsr")
    openssl("ts", "-verify", "-data", line, "-in", answer, "-CAfile", tmp_path / "stamps" / "authorities.pem")
    subprocess.run(["sha256sum", "--check", "--quiet", "SHA256SUMS"], cwd=tmp_path, check=True)


def test_an_answer_for_other_bytes_or_by_a_stranger_is_refused(stamped: Path, authority: Path, tmp_path: Path):
    (kept,) = (stamped / "stamps").glob("*.tsr")
    other = tmp_path / "other"
    other.write_text("another ledger")
    query = tmp_path / "other.tsq"
    openssl("ts", "-query", "-data", other, "-sha256", "-cert", "-out", query)
    before = sorted((stamped / "stamps").iterdir())
    for answer, words in [
        (answer_to(query, authority, "other.tsr"), "no line of this ledger"),
        (other, "not an answer"),
    ]:
        done = run_sitegen("ledger", stamped, "stamp", "--answer", answer)
        assert done.returncode == 2
        assert words in done.stderr
        assert "Traceback" not in done.stderr
    assert sorted((stamped / "stamps").iterdir()) == before
    lines, _ = read_ledger(stamped)
    with pytest.raises(StampError, match="no root"):
        verify_answer(lines, kept.read_bytes(), [])


def test_a_changed_stamp_is_named(stamped: Path):
    (kept,) = (stamped / "stamps").glob("*.tsr")
    whole = kept.read_bytes()
    kept.write_bytes(whole[:-20] + bytes(20))
    done = run_sitegen("ledger", stamped, "verify")
    kept.write_bytes(whole)
    assert done.returncode == 1
    assert f"stamps/{kept.name}: " in done.stderr


@pytest.mark.parametrize("place", ["stray.txt", "shown/stray.jpg", "K999/1/record.json"])
def test_a_file_that_no_line_names_is_reported_anywhere(stamped: Path, place: str):
    stray = stamped / "revisions" / place
    stray.parent.mkdir(parents=True, exist_ok=True)
    stray.write_text("{}")
    done = run_sitegen("ledger", stamped, "verify")
    stray.unlink()
    assert f"revisions/{place}: no line of the ledger names it" in done.stderr
