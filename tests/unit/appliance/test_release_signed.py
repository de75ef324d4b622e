"""Signatures, made and checked by the real openssl."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from airladder.appliance import signing
from airladder.appliance.release import checked, make
from airladder.faults import BadInput
from unit.appliance.smallreleases import small, tree


def new_key(folder: Path, name: str) -> tuple[Path, Path]:
    """A key of the owner's, secret and public, made as `signing` says."""
    secret, public = folder / f"{name}.key", folder / f"{name}.pub"
    subprocess.run(["openssl", "genpkey", "-algorithm", "ed25519", "-out", str(secret)], check=True)
    subprocess.run(["openssl", "pkey", "-in", str(secret), "-pubout", "-out", str(public)], check=True)
    return secret, public


def test_what_the_owner_signed_is_taken_and_nothing_else(tmp_path: Path) -> None:
    secret, public = new_key(tmp_path, "mine")
    _, other = new_key(tmp_path, "other")
    signed = make(tmp_path, package=tree(tmp_path / "p"), key=secret).read_bytes()
    assert checked(signed, public) == checked(signed)
    with pytest.raises(BadInput, match=rf"^its signature is not of the key {other}"):
        checked(signed, other)
    with pytest.raises(BadInput, match=rf"^it has no release.sig, and {public} asks for one"):
        checked(small(), public)
    assert len(signing.sign(secret, b"x")) == 64


def test_a_signature_of_other_sums_is_refused(tmp_path: Path) -> None:
    secret, public = new_key(tmp_path, "mine")
    signature = signing.sign(secret, b"sums")
    signing.check(public, b"sums", signature)
    for content, given in ((b"sumz", signature), (b"sums", signature[:-1]), (b"sums", b""), (b"sums", bytes(64))):
        with pytest.raises(BadInput, match=r"^its signature is not of the key"):
            signing.check(public, content, given)


def test_a_key_that_is_none_lets_nothing_in(tmp_path: Path) -> None:
    """A file that the owner has put there and that is damaged must not open the door."""
    (tmp_path / "update.pub").write_text("no key\n")
    assert signing.is_demanded(tmp_path / "update.pub")
    with pytest.raises(BadInput, match=r"^its signature is not of the key"):
        signing.check(tmp_path / "update.pub", b"x", bytes(64))
    with pytest.raises(BadInput, match="signs nothing; wanted a secret key"):
        signing.sign(tmp_path / "update.pub", b"x")


def test_without_openssl_nothing_is_let_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(BadInput, match=r"^it cannot be checked without openssl"):
        signing.check(tmp_path / "update.pub", b"x", bytes(64))


def test_a_signature_is_asked_for_only_where_a_key_lies(tmp_path: Path) -> None:
    assert not signing.is_demanded(tmp_path / "update.pub")
    assert not signing.is_demanded(tmp_path / "none" / "update.pub")
    (tmp_path / "update.pub").symlink_to("nowhere")
    assert signing.is_demanded(tmp_path / "update.pub")
    assert signing.is_demanded(tmp_path / ("x" * 300))  # a name that the system cannot look up
