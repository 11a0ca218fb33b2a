"""Help, version, and a command line that cannot be used."""

import re

import pytest

VERBS = ["draft", "predict", "check", "compare", "sweep", "size", "fit", "commission", "manual", "completion"]


def test_version(oxfade):
    done = oxfade("--version")
    assert done.returncode == 0
    assert re.fullmatch(r"oxfade \d+\.\d+\.\d+\n", done.stdout)


def test_help_has_an_example_for_every_verb(oxfade):
    done = oxfade("--help")
    assert done.returncode == 0
    for verb in VERBS:
        assert f"  oxfade {verb} " in done.stdout


@pytest.mark.parametrize("verb", VERBS)
def test_help_of_a_verb_has_an_example_and_the_exit_statuses(oxfade, verb):
    done = oxfade(verb, "--help")
    assert done.returncode == 0
    assert f"  oxfade {verb} " in done.stdout
    assert "Exit status:" in done.stdout


@pytest.mark.parametrize("arguments", [["--help"], *([verb, "--help"] for verb in VERBS)])
def test_help_fits_a_terminal(oxfade, arguments):
    assert max(map(len, oxfade(*arguments).stdout.splitlines())) <= 80


@pytest.mark.parametrize(
    "arguments, fragment",
    [
        ([], "required"),
        (["frobnicate", "x.toml"], "no verb 'frobnicate'"),
        (["predict"], "FILE is required"),
        (["predict", "x.toml", "--bogus"], "--bogus"),
        (["predict", "x.toml", "y.toml"], "y.toml"),
        (["predict", "x.toml", "--units", "furlongs"], "furlongs"),
        (["check", "x.toml", "--csv", "a.csv"], "--csv"),
    ],
)
def test_wrong_usage_is_status_two_with_a_reason(oxfade, arguments, fragment):
    done = oxfade(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert fragment in done.stderr
    assert done.stderr.startswith("oxfade: ")


@pytest.mark.parametrize("setting", ["target", "=3", "'a=b'"])
def test_a_setting_without_key_or_value_is_refused(oxfade, small, setting):
    done = oxfade("predict", small, "--set", setting)
    assert done.returncode == 2
    assert "KEY=VALUE" in done.stderr
