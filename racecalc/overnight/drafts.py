"""What one owner is told in a month, and the draft of an e-mail that says it; nothing is sent."""

import hashlib
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from email.header import Header
from email.message import EmailMessage
from email.policy import SMTP
from functools import cache
from pathlib import Path

from jinja2 import Environment, Template

from racecalc.page import RUST, SAGE

__all__ = ["CAUTIONS", "Ended", "Entry", "Letter", "address_of", "draft", "names_apart", "one_line"]

CAUTIONS = (
    "A report tells what was written down. It is no diagnosis and no promise. A horse that is "
    "lame, off its feed, dull, coughing or warmer than its own normal needs a veterinarian, "
    "whatever the figures say.",
    "How, when and whether a horse works is the licensed trainer’s decision on the morning. The "
    "track’s own rules and local law come first.",
)
"""The cautions of a report, for many of them."""

# More horses than these are counted in a subject, which mail programs cut short.
_NAMED = 3

# Where an address must stand as it is: the dot-atoms of RFC 5322, in the length of RFC 5321.
_ATOM = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+"
_ADDRESS = re.compile(rf"{_ATOM}(?:\.{_ATOM})*@[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)*")
_LONGEST_ADDRESS = 254

# Controls, lone surrogates, ends of lines, characters that turn the text after them, no characters.
_UNSEEMLY = re.compile(
    "[\x00-\x1f\x7f-\x9f\ud800-\udfff\u2028\u2029\u202a-\u202e\u2066-\u2069\ufffe\uffff]"
)
_NOT_IN_FILES = re.compile(r'[<>:"/\\|?*]')
_LONGEST_FILE_BYTES = 160

# Names of devices: Windows opens no file of such a name, whatever its ending.
_DEVICES = {"con", "prn", "aux", "nul"} | {
    f"{port}{n}" for port in ("com", "lpt") for n in range(10)
}

_LAYOUT = """\
<!doctype html>
<html lang="{{ letter.language }}">
<head>
<meta charset="utf-8">
<title>{{ subject }}</title>
</head>
<body style="margin: 0; padding: 16px; font-family: Georgia, 'Times New Roman', serif; \
font-size: 17px; line-height: 1.5">
<div style="max-width: 38em">
{% if letter.owner %}
<p>Dear <bdi>{{ letter.owner }}</bdi>,</p>
{% endif %}
{% if letter.entries %}
<p>{{ opening }}</p>
{% endif %}
{% for entry in letter.entries %}
<h2 dir="auto" style="margin: 28px 0 0; padding-top: 14px; border-top: 1px solid {{ rule }}; \
font-size: 22px; line-height: 1.2">{{ entry.name }}</h2>
<p style="margin: 4px 0 0; font-size: 15px">your share {{ entry.share }}, as of {{ entry.day }}</p>
<p dir="auto" style="margin: 10px 0 0">{{ entry.summary }}</p>
<p style="margin: 10px 0 0; font-size: 15px">Attached in full: \
<bdi>{{ files[loop.index0] }}</bdi></p>
{% endfor %}
{% for end in letter.ended %}
<p style="margin: 28px 0 0; padding-top: 14px; border-top: 1px solid {{ rule }}">Your share in \
<bdi>{{ end.name }}</bdi> ended on {{ end.day }}. Ask the trainer for the record up to then.</p>
{% endfor %}
<div style="margin: 32px 0 0; padding-left: 14px; border-left: 2px solid {{ rust }}; \
font-size: 15px">
{% for caution in cautions %}
<p style="margin: 0 0 8px">{{ caution }}</p>
{% endfor %}
</div>
{% for line in signed %}
<p dir="auto" style="margin: {{ "24px" if loop.first else "0" }} 0 0">{{ line }}</p>
{% endfor %}
</div>
</body>
</html>
"""


@dataclass(frozen=True)
class Entry:
    """One horse of one owner: what is said of it, all as it is printed, and its report on paper."""

    name: str
    file: str
    share: str
    day: str
    summary: str
    paper: Path


@dataclass(frozen=True)
class Ended:
    """A horse of which an owner sold the share, and the last day of it as it is printed."""

    name: str
    day: str


@dataclass(frozen=True)
class Letter:
    """All that one owner is told of a month: pages and drafts are made from this alone.

    Attributes
    ----------
    barn, trainer, language : str
        As the barn's settings have them.
    owner : str
        The owner's name, empty where it is not known.
    address : str, optional
        An address that can stand in a header.
    key, month : str
        The month as ``2026-10``, and as ``October 2026``.
    entries : tuple of Entry
        The horses with a report, in the order in which they are told of.
    ended : tuple of Ended
        Horses of which nothing more is told.
    """

    barn: str
    trainer: str
    language: str
    owner: str
    address: str | None
    key: str
    month: str
    entries: tuple[Entry, ...]
    ended: tuple[Ended, ...]


def one_line(text: str) -> str:
    """Put a text on one line, without what does not belong in a line of a page or of a header."""
    return " ".join(_UNSEEMLY.sub(" ", text).split())


def address_of(email: str) -> str | None:
    """Return an e-mail address if it can stand in a header as it is, else None."""
    fits = len(email) <= _LONGEST_ADDRESS and _ADDRESS.fullmatch(email)
    return email if fits else None


def names_apart(names: Iterable[str], taken: Iterable[str] = ()) -> list[str]:
    """Return names that no file system takes for one another, each its own where that can be.

    Many systems see no difference between capitals, nor between two codings of a letter. A name
    that is ``taken``, that stands before, or that is a device's grows by ``_``.
    """
    used, apart = {*_DEVICES, *taken}, []
    for name in names:
        while _alike(name) in used:
            name += "_"
        used.add(_alike(name))
        apart.append(name)
    return apart


def _alike(name: str) -> str:
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())


def draft(letter: Letter) -> bytes:
    """Return a letter as a draft for mail programs: the same bytes for the same letter.

    It has no sender, date or number, which the program that sends it writes itself (RFC 5322);
    ``X-Unsent`` lets mail programs open it for writing.

    Raises
    ------
    OSError
        If a report cannot be read.
    """
    papers = [entry.paper.read_bytes() for entry in letter.entries]
    files = _attached_as(letter)
    message = EmailMessage(policy=SMTP)
    message["X-Unsent"] = "1"
    if letter.address:
        message["To"] = letter.address
    message.set_raw("Subject", _encoded(_subject(letter)))
    plain, html = _plain(letter, files), _html(letter, files)
    message.set_content(plain, cte="quoted-printable")
    message.add_alternative(html, subtype="html", cte="quoted-printable")
    for paper, file in zip(papers, files, strict=True):
        message.add_attachment(paper, maintype="application", subtype="pdf", filename=file)
    _fix_boundaries(message, [plain.encode(), html.encode(), *papers])
    return message.as_bytes()


def _fix_boundaries(message: EmailMessage, content: list[bytes]) -> None:
    """Let boundaries follow from what is between them, where Python would draw lots.

    ``=_`` stands in no quoted-printable and in no base64 text (RFC 2045).
    """
    seen = hashlib.sha256()
    for part in content:
        seen.update(hashlib.sha256(part).digest())
    whole = [part for part in message.walk() if part.is_multipart()]
    for number, multipart in enumerate(whole):
        multipart.set_boundary(f"=_{number}_{seen.hexdigest()[:32]}")


def _attached_as(letter: Letter) -> list[str]:
    stems = [f"{letter.key} {_NOT_IN_FILES.sub(' ', entry.name)}" for entry in letter.entries]
    short = [stem.encode()[:_LONGEST_FILE_BYTES].decode(errors="ignore") for stem in stems]
    return [f"{name}.pdf" for name in names_apart(one_line(stem).rstrip(".") for stem in short)]


def _subject(letter: Letter) -> str:
    from racecalc.words import listed, number_word

    names = [told.name for told in letter.entries or letter.ended]
    if len(names) > _NAMED:
        names = [*names[: _NAMED - 1], f"{number_word(len(names) - _NAMED + 1)} more"]
    return f"{letter.month}: {listed(names)}"


def _encoded(subject: str) -> str:
    """Fold and encode a subject (RFC 2047), also one that looks as if it were encoded already.

    Left to itself the policy reads such words, and begins a long subject with an empty line.
    """
    charset = "us-ascii" if subject.isascii() and "=?" not in subject else "utf-8"
    return Header(subject, charset, header_name="Subject").encode(linesep="\r\n")


def _opening(letter: Letter) -> str:
    at = f" at {letter.barn}" if letter.barn else ""
    one = len(letter.entries) == 1
    of = "the full report is" if one else "the full report of each horse is"
    return f"Here is {letter.month}{at}, in short; {of} attached."


def _signed(letter: Letter) -> list[str]:
    return [line for line in (letter.trainer, letter.barn) if line]


def _plain(letter: Letter, files: list[str]) -> str:
    parts = [f"Dear {letter.owner},"] if letter.owner else []
    if letter.entries:
        parts.append(_opening(letter))
    for entry, file in zip(letter.entries, files, strict=True):
        parts.append(f"{entry.name}\nyour share {entry.share}, as of {entry.day}")
        parts += [entry.summary, f"Attached in full: {file}"]
    parts += [
        f"Your share in {end.name} ended on {end.day}. Ask the trainer for the record up to then."
        for end in letter.ended
    ]
    parts += [*CAUTIONS, "\n".join(_signed(letter))]
    return "\n\n".join(part for part in parts if part) + "\n"


def _html(letter: Letter, files: list[str]) -> str:
    """Return the same for mail programs that show pages; they drop style sheets, not styles.

    The colours of text and ground are the program's own, for light and dark.
    """
    return _template().render(
        letter=letter,
        files=files,
        subject=_subject(letter),
        opening=_opening(letter),
        signed=_signed(letter),
        cautions=CAUTIONS,
        rule=SAGE,
        rust=RUST,
    )


@cache
def _template() -> Template:
    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string(_LAYOUT)
