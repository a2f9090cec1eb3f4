"""How Streamlit is set up: nothing from the network, nothing told to anybody, our own colours.

Files of somebody's own (`~/.streamlit/config.toml`, one in the folder where the command is given)
are overridden in everything that matters, so every such option stands here even where Streamlit's
own default is the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ui.palette import DARK, LIGHT, Palette

MOST_MEGABYTES = 5
"""Of a file that is brought in."""
THIS_MACHINE = ("localhost", "127.0.0.1", "::1")


def options(host: str, port: int, names: Sequence[str]) -> dict[str, Any]:
    """Streamlit's options, by their dotted names.

    Parameters
    ----------
    host, port
        Where it listens.
    names : sequence of str
        What may stand in the browser's address bar for this machine.
    """
    return {
        "server.address": host,
        "server.port": port,
        "server.headless": True,
        "server.baseUrlPath": "",
        "server.fileWatcherType": "none",
        "server.runOnSave": False,
        "server.maxUploadSize": MOST_MEGABYTES,
        "server.enableXsrfProtection": True,
        "server.xsrfCookieSameSite": "lax",
        "server.enableCORS": True,
        "server.corsAllowedOrigins": [],
        "server.allowedHosts": list(names),
        "server.enableStaticServing": False,
        "server.enableAgentApi": False,
        "server.trustedUserHeaders": {},
        "server.scriptHealthCheckEnabled": False,
        "browser.gatherUsageStats": False,
        "client.allowedOrigins": [],
        "client.showErrorDetails": "none",
        "client.showErrorLinks": False,
        "client.toolbarMode": "minimal",
        "client.showSidebarNavigation": True,
        "logger.level": "error",
        "logger.hideWelcomeMessage": True,
        "runner.magicEnabled": False,
        **_theme("light", LIGHT),
        **_theme("dark", DARK),
    }


def _theme(name: str, palette: Palette) -> dict[str, Any]:
    """A theme. Which of the two is shown follows the system, as no `theme.base` is named."""
    colours = {
        "primaryColor": palette.accent,
        "linkColor": palette.accent,
        "backgroundColor": palette.paper,
        "secondaryBackgroundColor": palette.raised,
        "textColor": palette.ink,
        "borderColor": palette.line,
        "dataframeBorderColor": palette.line,
        "dataframeHeaderBackgroundColor": palette.raised,
        "dataframeHeaderTextColor": palette.ink,
    }
    return {f"theme.{name}.{key}": value for key, value in colours.items()}
