"""A small stand-in for the chat service's documented REST and gateway interfaces, version 10, on this machine."""

from tests.discord.loopback.service import Loopback as Loopback
