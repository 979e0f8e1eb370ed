"""What goes wrong on the way: limits, failures, resets and slowness, each for so many calls of one kind."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from aiohttp import web

from tests.discord.loopback.calls import answered

Fault = Callable[[web.Request], Awaitable[web.StreamResponse | None]]


def times(count: int, path: str, fault: Fault, method: str = "POST") -> Fault:
    """The fault for the next so many calls whose path contains the text."""
    left = [count]

    async def maybe(request: web.Request) -> web.StreamResponse | None:
        if left[0] <= 0 or path not in request.path or request.method != method:
            return None
        left[0] -= 1
        return await fault(request)

    return maybe


def status(code: int) -> Fault:
    """A bare failure, as a gateway in between makes it."""

    async def fail(request: web.Request) -> web.StreamResponse:
        return web.Response(status=code, text="upstream connect error")

    return fail


def limited(scope: str, via: bool, seconds: float = 0.02, everywhere: bool = False) -> Fault:
    """A 429 as the documentation's page "Rate Limits" shows it; without `via` the library raises it at once."""

    async def limit(request: web.Request) -> web.StreamResponse:
        said = {"message": "You are being rate limited.", "retry_after": seconds, "global": everywhere}
        headers = {"Retry-After": str(seconds), "X-RateLimit-Scope": scope, "X-RateLimit-Remaining": "0"}
        headers |= {"X-RateLimit-Reset-After": str(seconds)}
        headers |= {"X-RateLimit-Global": "true"} if everywhere else {}
        return answered(said, 429, headers | ({"Via": "1.1 loopback"} if via else {}))

    return limit


async def reset(request: web.Request) -> web.StreamResponse | None:
    """The connection is cut before anything was done."""
    assert request.transport is not None
    request.transport.abort()
    return web.Response()


def after(seconds: float) -> Fault:
    """The call is done, but late; also if who made it has given it up by then."""

    async def wait(request: web.Request) -> None:
        if request.content_type == "application/json":
            await request.read()
        await asyncio.sleep(seconds)

    return wait
