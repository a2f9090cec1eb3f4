"""The installed app in a real browser: Debian's Chromium, driven by Playwright."""
