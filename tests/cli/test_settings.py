"""The settings file: what it may hold, and the sentence for what it may not."""

import resource
import tomllib

import pytest

from assistant.settings import Settings, SettingsFault, load_settings, override, store_settings


def test_no_file_means_the_defaults(tmp_path):
    assert load_settings(tmp_path / "settings.toml") == Settings()


def test_what_the_file_says_counts_and_the_command_line_wins(tmp_path):
    path = tmp_path / "settings.toml"
    path.write_text('rate = 140\nheadset = true\nmicrophone = "usb"\n')
    settings = override(load_settings(path), {"rate": 180, "volume": None})
    assert (settings.rate, settings.headset, settings.microphone, settings.volume) == (180, True, "usb", -9)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("rat = 140", 'did you mean "rate"'),
        ('rate = "fast"', "whole number"),
        ("rate = true", "whole number"),
        ("rate = 1000", "80 to 400"),
        ("volume = 3", "-40 to 0"),
        ("headset = 1", "true or false"),
        ('synthesiser = "other"', "pyttsx3 or natural"),
        ("tail_ms = -1", "0 to 2000"),
        ('bay = ""', "cannot be part of the name of a job; give 1 to 20 small letters"),
        ('bay = "Bay 1"', "small letters, digits and single hyphens"),
        ('bay = "-1"', "single hyphens between them"),
        ('bay = "a--b"', "single hyphens between them"),
        ('bay = "the-bay-behind-the-yard"', "give 1 to 20"),
        ("rate = ", "cannot be read"),
        (f"rate = {'9' * 6000}", "too many digits); mend"),
        ('operator = "\\u001b[2J"', "has a character that cannot be seen"),
        (f"operator = '{'x' * 1001}'", "at most 1000 letters"),
    ],
)
def test_a_wrong_setting_is_named_with_what_to_write(tmp_path, text, says):
    path = tmp_path / "settings.toml"
    path.write_text(text)
    with pytest.raises(SettingsFault, match="settings.toml") as fault:
        load_settings(path)
    assert says in fault.value.sentence


def test_binary_settings_give_a_sentence(tmp_path):
    path = tmp_path / "settings.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(SettingsFault, match="cannot be read"):
        load_settings(path)


BY_HAND = """\
# Bay two, beside the compressor.
rate = 140          # Kim likes it slow

# The boom microphone; the other one hums.
"microphone" = 'usb "boom"'
operator = \"\"\"\\
    Kim, \\
    rate = 200\"\"\"    # and whoever helps
"""


def test_setting_one_thing_keeps_the_comments_and_the_order_of_a_file_written_by_hand(tmp_path):
    path = tmp_path / "settings.toml"
    path.write_text(BY_HAND)
    store_settings(path, {"rate": 180, "microphone": 'the "other" one', "keep_audio": True})
    expected = BY_HAND.replace("rate = 140 ", "rate = 180 ", 1).replace("""'usb "boom"'""", '"the \\"other\\" one"')
    assert path.read_text() == expected + "keep_audio = true\n"
    settings = load_settings(path)
    assert (settings.rate, settings.microphone, settings.keep_audio) == (180, 'the "other" one', True)
    assert settings.operator == "Kim, rate = 200"


def test_line_ends_of_another_system_stay(tmp_path):
    path = tmp_path / "settings.toml"
    path.write_bytes(b"# slow\r\nrate = 140\r\nvolume = -3\r\n")
    store_settings(path, {"rate": 180})
    assert path.read_bytes() == b"# slow\r\nrate = 180\r\nvolume = -3\r\n"


def test_storing_leaves_the_rest_of_the_file_as_it_was(tmp_path):
    path = tmp_path / "bay" / "settings.toml"
    store_settings(path, {"microphone": 'the "old" one', "tail_ms": 300})
    assert tomllib.loads(path.read_text()) == {"microphone": 'the "old" one', "tail_ms": 300}
    path.write_text("# mine\nrate = 140\n  tail_ms=200 # short\n")
    store_settings(path, {"headset": False, "tail_ms": 310})
    assert path.read_text() == "# mine\nrate = 140\n  tail_ms=310 # short\nheadset = false\n"


def test_what_is_no_setting_or_cannot_be_written_is_told(tmp_path):
    with pytest.raises(SettingsFault, match="out of range"):
        store_settings(tmp_path / "settings.toml", {"tail_ms": 99_999})
    (tmp_path / "file").write_text("")
    with pytest.raises(SettingsFault):
        store_settings(tmp_path / "file" / "settings.toml", {"tail_ms": 300})


def test_a_disk_that_takes_nothing_leaves_the_settings_and_nothing_beside_them(tmp_path):
    """The limit on the size of a file (RLIMIT_FSIZE, man 2 setrlimit) stands in for the full disk."""
    path = tmp_path / "settings.toml"
    store_settings(path, {"rate": 150})
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4, before[1]))
    try:
        with pytest.raises(SettingsFault, match="stay as they were: free some space"):
            store_settings(path, {"rate": 160})
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert [one.name for one in tmp_path.iterdir()] == ["settings.toml"]
    assert load_settings(path).rate == 150
