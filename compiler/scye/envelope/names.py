"""Names of files in an envelope: which are refused, and why.

A place is a folder and a file, in letters that every machine writes alike. So no name can lead elsewhere,
look like another, or be taken by a machine for something else than a file.
"""

from __future__ import annotations

import re
import unicodedata

LONGEST = 64
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")
_FILE = re.compile(r"([A-Za-z0-9][A-Za-z0-9_-]*)\.([a-z]{2,4})")
_DEVICES = re.compile(r"(con|prn|aux|nul|conin|conout|clock|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)
_TURNING = set("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def written_out(name: str) -> str:
    """A name with everything but plain letters written as a code, so that nothing in it can hide."""
    shown = name.encode("unicode_escape").decode("ascii")
    return shown if len(shown) <= 2 * LONGEST else f"{shown[: 2 * LONGEST]}..."


def amiss_in_place(place: str) -> str:
    """What is wrong with the place of a file in an envelope; empty if nothing is."""
    said = amiss_in_letters(place)
    if said:
        return said
    if re.match(r"[A-Za-z]:", place):
        return "begins with the letter of a disk"
    if place.startswith("/"):
        return "leads from the top of the machine"
    parts = place.split("/")
    if ".." in parts or "." in parts:
        return "leads out of the envelope"
    if len(parts) != 2:
        return "is not a file in a folder"
    return amiss_in_name(parts[0]) or _amiss_in_file(parts[1])


def amiss_in_letters(text: str) -> str:
    """What is wrong with the signs of a name."""
    for sign in text:
        if sign in _TURNING:
            return f"has a mark in it that turns the order of what is read (U+{ord(sign):04X})"
        if not sign.isprintable():
            return f"has a sign in it that can't be seen (U+{ord(sign):04X})"
        if not sign.isascii():
            called = unicodedata.name(sign, "a letter without a name").lower()
            return f"has a letter in it that machines write in different ways: {called} (U+{ord(sign):04X})"
        if sign == "\\":
            return "has a backslash in it, which some machines take for a folder"
    return ""


def amiss_in_name(name: str) -> str:
    """What is wrong with the name of a folder, or of a recipe or file of methods without its ending."""
    if len(name) > LONGEST:
        return f"has a name longer than {LONGEST} letters in it"
    if name != name.strip(" ."):
        return "has a name in it that begins or ends with a space or dot"
    if _DEVICES.fullmatch(name):
        return "has a name in it that some machines keep for their own devices"
    if not _PLAIN.fullmatch(name):
        return "has other signs in it than letters, digits, hyphens and underscores"
    return ""


def _amiss_in_file(file: str) -> str:
    if file != file.strip(" .") or _DEVICES.fullmatch(file):
        return amiss_in_name(file)
    match = _FILE.fullmatch(file)
    return amiss_in_name(match[1]) if match else "is not a plain name with an ending, as `skirt.scye`"
