"""Manual page and completions: made from the command line's own definition, and sound."""

import re
import shutil
import subprocess

import pytest
from test_usage import VERBS


def options_of(oxfade, verb):
    options = oxfade(verb, "--help").stdout.split("\nExample:\n")[0]
    return set(re.findall(r"^  (?:-h,)?(--[a-z-]+)", options, re.MULTILINE))


def test_the_manual_has_every_verb_and_option(oxfade):
    page = oxfade("manual").stdout
    plain = page.replace("\\-", "-").replace("\\&", "")
    for verb in VERBS:
        section = plain.split(f".SS oxfade {verb}\n")[1].split(".SS ")[0]
        for option in options_of(oxfade, verb):
            assert option in section, (verb, option)
        assert f"oxfade {verb} " in section


@pytest.mark.skipif(shutil.which("man") is None, reason="no man here")
def test_the_manual_is_sound_troff(oxfade, tmp_path):
    path = tmp_path / "oxfade.1"
    path.write_text(oxfade("manual").stdout)
    done = subprocess.run(["man", "--warnings=w", "-l", path], capture_output=True, text=True, env={"MANWIDTH": "80"})
    assert done.returncode == 0
    assert done.stderr == ""
    assert "EXIT STATUS" in done.stdout.upper()


def completed(oxfade, words, tmp_path):
    (tmp_path / "oxfade.bash").write_text(oxfade("completion", "bash").stdout)
    script = (
        "source ./oxfade.bash; COMP_WORDS=(" + " ".join(f"'{word}'" for word in words) + "); "
        "COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _oxfade; printf '%s\\n' \"${COMPREPLY[@]}\""
    )  # fmt: skip
    return subprocess.run(["bash", "-c", script], capture_output=True, text=True, cwd=tmp_path).stdout.split()


def test_bash_completes_verbs_options_words_and_files(oxfade, tmp_path):
    (tmp_path / "plant.toml").write_text("")
    assert completed(oxfade, ["oxfade", "pre"], tmp_path) == ["predict"]
    assert set(VERBS) <= set(completed(oxfade, ["oxfade", ""], tmp_path))
    assert completed(oxfade, ["oxfade", "predict", "--fr"], tmp_path) == ["--friction"]
    assert completed(oxfade, ["oxfade", "predict", "--units", ""], tmp_path) == ["si", "us"]
    assert completed(oxfade, ["oxfade", "predict", "pl"], tmp_path) == ["plant.toml"]
    assert completed(oxfade, ["oxfade", "predict", "--set", "x"], tmp_path) == []
    for verb in VERBS:
        assert options_of(oxfade, verb) <= set(completed(oxfade, ["oxfade", verb, "--"], tmp_path))


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_scripts_are_sound(oxfade, tmp_path, shell):
    script = oxfade("completion", shell).stdout
    for verb in VERBS:
        assert verb in script
    path = tmp_path / "script"
    path.write_text(script)
    if shutil.which(shell) is not None:
        done = subprocess.run([shell, "-n", path], capture_output=True, text=True)
        assert (done.returncode, done.stderr) == (0, "")


def test_an_unknown_shell_is_refused(oxfade):
    done = oxfade("completion", "tcsh")
    assert done.returncode == 2
    assert "tcsh" in done.stderr
