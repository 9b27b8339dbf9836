"""The settings file: what it may hold, and the sentence for what it may not."""

import pytest

from assistant.settings import Settings, SettingsFault, load_settings, override


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
