"""The hosting page and its examples say what the code does."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from bot.channels import discord_settings
from bot.channels.discord_run import LONGEST_GOODBYE
from bot.channels.discord_start import SETTINGS, UNUSABLE
from tests.discord.loopback.world import ATTACH, HISTORY, SEND, SEND_IN_THREADS, VIEW

ROOT = Path(__file__).parent.parent.parent
PAGE = (ROOT / "docs" / "hosting.md").read_text(encoding="utf-8")
CONTAINER = (ROOT / "deploy" / "Containerfile").read_text(encoding="utf-8")
UNIT = (ROOT / "deploy" / "drumhead.service").read_text(encoding="utf-8")


def test_the_invitation_asks_for_the_least_permissions() -> None:
    asked = re.search(r"permissions=(\d+)", PAGE)
    assert asked is not None
    assert int(asked[1]) == VIEW | SEND | SEND_IN_THREADS | ATTACH | HISTORY
    assert str(VIEW | SEND | SEND_IN_THREADS) in PAGE


def test_every_setting_of_the_environment_is_on_the_page() -> None:
    names = (discord_settings.TOKEN, discord_settings.URL, discord_settings.SHARDS, discord_settings.LEVEL, SETTINGS)
    assert all(f"`{name}`" in PAGE for name in (*names, "DRUMHEAD_LEDGER"))


def test_the_service_manager_is_more_patient_than_a_clean_end() -> None:
    patience = re.search(r"TimeoutStopSec=(\d+)", UNIT)
    assert patience is not None
    assert int(patience[1]) > LONGEST_GOODBYE
    container = re.search(r"--stop-timeout (\d+)", PAGE)
    assert container is not None
    assert int(container[1]) > LONGEST_GOODBYE
    assert f"({LONGEST_GOODBYE:.0f} seconds at most)" in " ".join(PAGE.split())


def test_the_service_manager_starts_it_again_unless_its_settings_are_unusable() -> None:
    assert "Restart=always" in UNIT
    assert f"RestartPreventExitStatus={UNUSABLE}\n" in UNIT
    assert f"status {UNUSABLE}" in " ".join(PAGE.split())


def test_the_service_manager_has_no_complaint_of_the_unit(tmp_path: Path) -> None:
    analyze = shutil.which("systemd-analyze")
    if analyze is None:
        pytest.skip("systemd is not at hand")
    unit = tmp_path / "drumhead.service"
    unit.write_text(UNIT.replace("/opt/drumhead/bin/drumhead", sys.executable))
    done = subprocess.run([analyze, "verify", "--man=no", str(unit)], capture_output=True, text=True, timeout=60)
    assert "drumhead" not in done.stdout + done.stderr


def test_what_the_unit_may_write_is_what_the_program_is_told_to_write() -> None:
    told = set(re.findall(r"^Environment=\w+=(/var/\w+/drumhead)", UNIT, re.MULTILINE))
    assert told == {"/var/lib/drumhead", "/var/cache/drumhead"}
    assert "StateDirectory=drumhead\n" in UNIT
    assert "CacheDirectory=drumhead\n" in UNIT


def test_the_container_is_built_of_what_the_package_is_made_of() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    wheel = project["tool"]["hatch"]["build"]["targets"]["wheel"]
    about = (project["project"]["readme"], project["project"]["license"]["file"], "pyproject.toml")
    ignored = (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
    assert "*" in ignored
    seen = {line[1:] for line in ignored if line.startswith("!")}
    assert seen == {*wheel["packages"], *wheel["force-include"], *about}


def test_all_that_the_container_writes_lies_in_its_volume() -> None:
    volume = re.search(r"^VOLUME (\S+)", CONTAINER, re.MULTILINE)
    assert volume is not None
    for name in ("HOME", "DRUMHEAD_LEDGER", "MPLCONFIGDIR"):
        assert re.search(rf"^ENV .*\b{name}={volume[1]}\b", CONTAINER, re.MULTILINE), name
    user = re.search(r"^USER (\d+:\d+)$", CONTAINER, re.MULTILINE)
    assert user is not None
    assert f"chown {user[1]}" in PAGE


def test_no_example_holds_a_token() -> None:
    for file in (*(ROOT / "deploy").iterdir(), ROOT / "docs" / "hosting.md", ROOT / "config" / "bot.yaml"):
        assert not re.search(r"DISCORD_TOKEN=[\w-]{10}", file.read_text(encoding="utf-8"))
