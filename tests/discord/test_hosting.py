"""The hosting page and its examples say what the code does."""

from __future__ import annotations

import re
from pathlib import Path

from bot.channels import discord_settings
from bot.channels.discord_run import LONGEST_GOODBYE
from bot.channels.discord_start import SETTINGS, UNUSABLE
from tests.discord.loopback.world import ATTACH, HISTORY, SEND, SEND_IN_THREADS, VIEW

ROOT = Path(__file__).parent.parent.parent
PAGE = (ROOT / "docs" / "hosting.md").read_text(encoding="utf-8")
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


def test_no_example_holds_a_token() -> None:
    for file in (*(ROOT / "deploy").iterdir(), ROOT / "docs" / "hosting.md", ROOT / "config" / "bot.yaml"):
        assert not re.search(r"DISCORD_TOKEN=[\w-]{10}", file.read_text(encoding="utf-8"))
