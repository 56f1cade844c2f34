"""Hostile films: damaged, of another format than named, or referring to other files."""

from __future__ import annotations

import random

import pytest

from sitegen.film.coding import RENDITIONS, fitted_size
from sitegen.film.making import code_clip
from sitegen.film.probing import probe
from sitegen.film.program import FilmError, Limits, run, source
from tests.film.films import PROGRAM, Film, make_film

SECRET = "the-secret-line"


@pytest.mark.parametrize(
    "text",
    [
        "#EXTM3U\n#EXT-X-VERSION:3\n#EXTINF:1,\nfile://{secret}\n#EXT-X-ENDLIST\n",
        "ffconcat version 1.0\nfile '{secret}'\n",
        "<?xml version='1.0'?><MPD><Period><BaseURL>file://{secret}</BaseURL></Period></MPD>",
        "[playlist]\nFile1={secret}\n",
        "v=0\no=- 0 0 IN IP4 127.0.0.1\nm=video 5004 RTP/AVP 96\n",
    ],
)
@pytest.mark.parametrize("name", ["walk.mp4", "walk.mov", "concat:walk.mp4", "-walk.mp4"])
def test_a_playlist_opens_no_other_files(text, name, tmp_path):
    """A playlist under a film's name is no film, and what it names is not opened."""
    secret = tmp_path / "secret.txt"
    secret.write_text(SECRET)
    film = tmp_path / name
    film.write_text(text.format(secret=secret))
    accessed = secret.stat().st_atime_ns
    with pytest.raises(FilmError) as error:
        probe(PROGRAM, film)
    assert SECRET not in str(error.value)
    assert secret.stat().st_atime_ns == accessed


@pytest.mark.parametrize("name", ["it's a film.mov", "50% off, 'new':x.mov", "ñandú\u202e.mov", "-y.mov"])
def test_a_film_with_any_file_name_is_read(name, tmp_path):
    """A name is never taken for an option, a protocol or a pattern."""
    plain = make_film(Film("plain.mov", seconds=0.3, sound="none"), tmp_path)
    assert probe(PROGRAM, plain.rename(tmp_path / name)).coding == "h264"


@pytest.mark.parametrize("start", range(0, 30, 10))
def test_a_damaged_film_is_a_fault_in_words_or_a_shorter_film(start, tmp_path):
    """Ten mutants each: bytes changed, cut short, parts doubled. None hangs, and none ends in another exception."""
    whole = make_film(Film("whole.mov", size=(160, 120), seconds=0.5), tmp_path).read_bytes()
    for seed in range(start, start + 10):
        mutant = tmp_path / f"mutant-{seed}.mov"
        mutant.write_bytes(mutated(whole, random.Random(seed)))
        to = tmp_path / "out" / "film.mp4"
        to.parent.mkdir(exist_ok=True)
        assert coded_or_refused(mutant, to).startswith(("coded", "which "))


def coded_or_refused(source, to) -> str:
    """Code a film; return `coded`, or the words of the refusal."""
    try:
        facts = probe(PROGRAM, source)
        frame = fitted_size(facts.width, facts.height, 120)
        code_clip(PROGRAM, source, to, facts, frame, RENDITIONS[1], with_sound=facts.has_sound)
    except FilmError as error:
        return str(error)
    return "coded"


def mutated(film: bytes, choice: random.Random) -> bytes:
    """Return a film with one kind of harm, chosen at random."""
    content = bytearray(film)
    harm = choice.choice(["bytes", "cut", "doubled", "head", "zeros", "sizes"])
    if harm == "cut":
        return bytes(content[: choice.randrange(len(content) or 1)])
    if harm == "doubled":
        at = choice.randrange(len(content) or 1)
        return bytes(content[:at] + content[at // 2 : at] + content[at:])
    if not content:
        return b""
    if harm == "sizes":  # of boxes and counts: the numbers that a reader believes
        for _ in range(choice.randint(1, 4)):
            at = choice.randrange(min(len(content), 4000))
            content[at : at + 4] = choice.choice([b"\xff" * 4, b"\0\0\0\1", b"\x7f\xff\xff\xff", b"\0\0\0\0"])
        return bytes(content)
    if harm == "zeros":
        at = choice.randrange(len(content))
        content[at : at + 500] = bytes(min(500, len(content) - at))
        return bytes(content)
    end = len(content) if harm == "bytes" else min(4000, len(content))
    for _ in range(choice.randint(1, 60)):
        content[choice.randrange(end)] = choice.randrange(256)
    return bytes(content)


def test_a_run_is_stopped_at_its_limits(tmp_path):
    """A film that decodes for ever is ended, and an output that grows without end is cut off."""
    endless = ["-f", "lavfi", "-i", "testsrc2=s=1920x1080:r=60"]
    with pytest.raises(FilmError, match="too long"):
        run(PROGRAM, [*endless, "-f", "null", "-"], Limits(seconds=1))
    big = tmp_path / "big.avi"
    with pytest.raises(FilmError):
        run(PROGRAM, [*endless, "-c:v", "rawvideo", "-t", "60", str(big)], Limits(seconds=30, file_bytes=10**7))
    assert big.stat().st_size <= 10**7


def test_an_input_is_a_local_file_only(tmp_path):
    """The arguments of an input name the file protocol, so that no name is taken for an address."""
    assert source(tmp_path / "http:x") == ["-i", f"file:{tmp_path / 'http:x'}"]
