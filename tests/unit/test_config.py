"""The settings file: read strictly, all faults at once."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from airladder.config import Settings, checked, load, load_what_can_be, shown
from airladder.faults import BadInput
from airladder.music.series import Against
from airladder.places import settings_path


@pytest.fixture
def nowhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No settings file in the usual place."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    return tmp_path


def test_without_a_file_it_is_an_alto_on_low_b_flat_at_440(nowhere: Path) -> None:
    settings = load()
    assert settings == Settings()
    assert (settings.horn.name, str(settings.fingering), settings.a4) == ("alto", "Bb3", 440.0)


def test_a_file_in_the_usual_place_is_found(nowhere: Path) -> None:
    settings_path().parent.mkdir()
    settings_path().write_text(
        'horn = "baritone"\nfingering = "A3"\na4 = 442\nagainst = "pure"\nlog_folder = "/data"\n'
    )
    settings = load()
    assert (settings.horn.name, str(settings.fingering), settings.a4) == ("baritone", "A3", 442.0)
    assert settings.against is Against.PURE
    assert settings.log == Path("/data/log.sqlite")


def test_what_is_shown_can_be_read_back(tmp_path: Path) -> None:
    settings = checked({"horn": "tenor", "fingering": "C#4", "microphone": 'plug"1', "screen": "sh1106"}, "test")
    assert checked(tomllib.loads(shown(settings)), "test") == settings


def test_all_faults_are_listed_at_once_each_with_its_key(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text('horn = "altoo"\na4 = "440"\nagainst = "temperd"\nmicrofone = "mic"\nscreen = 3\n')
    with pytest.raises(BadInput) as caught:
        load(path)
    assert str(caught.value).splitlines() == [
        f"{path} has 5 faults:",
        "  horn: 'altoo' is no horn that we know; did you mean alto? Known: soprano, alto, tenor, baritone.",
        "  a4: '440' is no number; wanted one without quotes.",
        (
            "  against: 'temperd' is nothing that cents are measured from; did you mean tempered? Known: "
            "tempered, pure, measured."
        ),
        (
            "  microfone: no such setting; did you mean microphone? Known: "
            "horn, fingering, a4, against, microphone, speaker, aloud, place, screen, clips, clips_mb, log_folder, "
            "aims, rules, limits."
        ),
        "  screen: 3 is no text; wanted a word in quotes.",
    ]


def test_a_fingering_is_checked_against_its_horn() -> None:
    assert str(checked({"horn": "baritone", "fingering": "A3"}, "test").fingering) == "A3"
    with pytest.raises(
        BadInput, match=r"^test has 1 fault:\n  fingering: 'A3' is no overtone fingering of the alto;"
    ):
        checked({"fingering": "A3"}, "test")


def test_words_over_a_file_keep_the_rest_of_it() -> None:
    base = checked({"horn": "tenor", "a4": 442}, "file")
    assert checked({"a4": 438.0}, "words", base).horn.name == "tenor"


def test_a_new_horn_must_have_the_fingering_that_was_set() -> None:
    base = checked({"horn": "baritone", "fingering": "A3"}, "file")
    with pytest.raises(BadInput, match="fingering: 'A3' is no overtone fingering of the alto"):
        checked({"horn": "alto"}, "words", base)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("horn = alto", r"is no TOML: .*; wanted lines like: horn = \"alto\"\.$"),
        ("a4 = 460", r"a4: A4 of 460 Hz was asked for; wanted 430 to 450; the standard is 440\.$"),
        ("a4 = true", r"a4: True is no number; wanted one without quotes\.$"),
        ('horn = ""', r"horn: '' is no text; wanted a word in quotes\.$"),
        ("\ufeff\x00", r"is no TOML"),
    ],
)
def test_a_broken_file_is_one_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(text)
    with pytest.raises(BadInput, match=sentence):
        load(path)


def test_a_named_file_that_is_missing_is_said(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"cannot be read \(No such file or directory\); name another or remove it\.$"):
        load(tmp_path / "none.toml")


def test_a_file_of_another_encoding_is_said(tmp_path: Path) -> None:
    (tmp_path / "latin.toml").write_bytes(b'horn = "\xe4"')
    with pytest.raises(BadInput, match="is no TOML"):
        load(tmp_path / "latin.toml")


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"clips": "yes"}, "clips: 'yes' is neither true nor false; wanted one of these, without quotes."),
        ({"clips_mb": 0}, "clips_mb: 0 is no size for clips; wanted whole megabytes from 1 to 4000."),
        ({"clips_mb": 1.5}, "clips_mb: 1.5 is no size for clips; wanted whole megabytes from 1 to 4000."),
    ],
)
def test_clips_are_off_until_asked_for_and_want_a_size(values: dict[str, object], sentence: str) -> None:
    assert not Settings().clips
    assert checked({"clips": True, "clips_mb": 50}, "test").clips_mb == 50
    with pytest.raises(BadInput) as caught:
        checked(values, "test")
    assert sentence in str(caught.value)


def test_a_box_heeds_of_a_settings_file_what_makes_sense_and_says_what_does_not(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text('horn = "tenor"\nfrom_2099 = 1\na4 = 500\n[rules]\nno_such = 1\n')
    settings, complaint = load_what_can_be(path)
    assert settings.horn.name == "tenor"
    assert settings.a4 == Settings().a4
    for word in ("from_2099", "a4", "no_such", str(path)):
        assert word in complaint


def test_a_box_goes_by_the_built_in_settings_where_the_file_is_no_toml_or_not_there(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    assert load_what_can_be(path) == (Settings(), "")
    path.write_text("horn =")
    settings, complaint = load_what_can_be(path)
    assert settings == Settings()
    assert complaint.endswith("The built-in settings hold.")
    path.write_text('horn = "alto"\n')
    assert load_what_can_be(path) == (Settings(), "")
