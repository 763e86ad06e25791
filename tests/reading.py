"""A finished report read back as its readers do: words, and numbers with where they come from."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pypdf

from racecalc.body import FORMULAS
from racecalc.fitness import RECOVERY_CLASSES
from racecalc.notation import typeset
from racecalc.sources import brief
from racecalc.track import poles
from racecalc.units import MILE_M
from racecalc.weather import CAUTIONS, HOT_SUM, HOT_WBGT_C
from racecalc.words import REPEATED_LACTATES
from racecalc.workload import STUDIES

FRACTIONS = "¼½¾⅛⅜⅝⅞⅕⅖⅗⅘"
NUMBER = re.compile(rf"[−+]?[\d{FRACTIONS}][\d{FRACTIONS}⁄,.:]*")

# The names of poles on a picture of the course.
POLES = {typeset(pole.name) for pole in poles(MILE_M, MILE_M / 16)}


class Words(HTMLParser):
    """The words of a page: text, and what hovering over a mark shows, without axis labels."""

    def __init__(self):
        super().__init__()
        self.said, self.open = [], []

    def handle_starttag(self, tag, attributes):
        if tag not in ("meta", "br", "path", "line", "rect", "input", "link"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, text):
        inside = set(self.open)
        if "style" in inside or ("svg" in inside and not inside & {"title", "desc"}):
            return
        self.said.append(text)


def words_of(page: str) -> str:
    reader = Words()
    reader.feed(page)
    return " ".join(" ".join(reader.said).split())


def text_of(path) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)


def same_words(one: Path, other: Path) -> bool:
    """Return whether two reports say the same, on the screen and on paper.

    Words, not bytes: another version of a library may draw a line otherwise.
    """
    pages = (words_of((folder / "report.html").read_text("utf-8")) for folder in (one, other))
    papers = (text_of(folder / "report.pdf") for folder in (one, other))
    return len(set(pages)) == len(set(papers)) == 1


def stands_in(text: str, printed: str) -> bool:
    """The figure stands there, with its unit or under a heading that names it."""
    text = text.lstrip("+−")
    # In the middle of a sentence a time under a minute is written without its colon.
    if text.startswith(":") and f"{text[1:]} " in printed:
        return True
    figure = text.split(" ")[0] if "⁄" not in text else text
    return (
        text in printed
        or re.search(rf"(?<![\d.:]){re.escape(figure)}(?![\d.:])", printed) is not None
    )


def unprinted(found: dict, page: str) -> list[str]:
    """Return the names of numbers in the JSON whose figure stands nowhere on the page."""
    printed = words_of(page)
    return [n["name"] for n in found["numbers"] if not stands_in(n["text"], printed)]


def strays(found: dict, page: str) -> set[str]:
    """Return the figures on the page that nobody computed: days, years and fixed words apart."""
    body = words_of(page).partition(" Sources ")[0].partition("Cautions")[0]
    body = body.partition("Made by racecalc")[0]
    known = {token for n in found["numbers"] for token in NUMBER.findall(n["text"])}
    known |= {token.lstrip("+−") for token in known}
    # A time in the middle of a sentence loses its colon, and gains a unit.
    known |= {token.lstrip(":") for token in known}
    # What a formula for weight was made from is a published fact, not computed.
    facts = (f"{one.year} {one.population} {one.printed_error}" for one in FORMULAS.values())
    known |= {token for text in facts for token in NUMBER.findall(text)}
    # So is what studies counted, and the marks at which a test is read.
    studied = (f"{one.horses} {one.counted} {one.over} {brief(one.key)}" for one in STUDIES)
    known |= {token for text in studied for token in NUMBER.findall(text)}
    known |= {f"{one.low_bpm:.0f}" for one in RECOVERY_CLASSES}
    known |= {"180", "200", "42", "60"} | set(NUMBER.findall(REPEATED_LACTATES))
    known |= {str(day) for day in range(1, 32)} | {"2025", "2026", "30", "95", "100"}
    known |= {token for n in found["numbers"] for token in pole_tokens(n["name"])} | POLES
    # So are the limits of heat, cold, air and lightning; the book's own limits stand in settings.
    told = (f"{one.at} {one.asks} {brief(one.source)}" for one in CAUTIONS)
    known |= {token for text in told for token in NUMBER.findall(text)}
    # And the limits at which a plan refuses a day, and the class of middling chances.
    known |= {f"{HOT_SUM:.0f}", f"{HOT_WBGT_C:.0f}", "90", "20", "−7", "10", "70"}
    # Clips have the names that the book gives them; poles past the finish are passed too.
    known |= {token for text in found.get("clips", ()) for token in NUMBER.findall(text)}
    known |= {f"+{pole}" for pole in POLES}
    # What was found in a GPS file is said in finished sentences, which the JSON holds as well.
    known |= {token for text in found.get("findings", ()) for token in NUMBER.findall(text)}
    tokens = (token.rstrip(".,:") for token in NUMBER.findall(body))
    return {token for token in tokens if token not in known}


def pole_tokens(name: str) -> list[str]:
    pole = re.search(r"\.(?:split|clock|pace|furlong|fraction|gps)\.([^.]+)", name) or re.search(
        r"^(?:sheet|next\.\w+)\.([^.]+)\.watch", name
    )
    return NUMBER.findall(typeset(pole[1])) if pole else []
