"""A chart specification drawn as SVG, the same for the screen and for paper.

The drawing needs no script and asks for nothing: exact values show on hovering through ``<title>``
elements, the description for a screen reader is inside, and colours stay the palette's own words
so that a style sheet can turn them for a dark screen.
"""

import json
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

from racecalc.errors import ReportError

__all__ = ["FACES", "Drawing", "draw"]

# First the face that Typst carries inside, then what other machines have that is near to it.
FACES = "Libertinus Serif, Linux Libertine O, Charter, Georgia, Times New Roman, serif"

# vl-convert carries this face inside, so that a layout is the same on every machine; it is a little
# wider than the faces above, so that nothing laid out with it can collide when set in them.
_MEASURED = "Liberation Sans"

# Of a line or an area the drawing engine labels only the first point: no help when hovering.
_ONE_SHAPE_FOR_MANY = ("line mark", "area mark", "trail mark")

_RGB = re.compile(r"rgb\((\d+), ?(\d+), ?(\d+)\)")
_NAMED = {"white": "#ffffff", "#fff": "#ffffff", "black": "#000000", "#000": "#000000"}
_VULGAR = "½¼¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘"
_FRACTION = re.compile(rf"([{_VULGAR}]|\d+\N{{FRACTION SLASH}}\d+)")
# The faces draw fractions small; a fifth must be told from three fifths on a phone and on paper.
_FRACTION_SIZE = 1.2
_DROPPED = ("role", "class", "font-family", "pointer-events")


@dataclass(frozen=True)
class Drawing:
    """An SVG element as text, with its size in CSS pixels."""

    svg: str
    width: float
    height: float


def draw(spec: dict[str, Any], alt: str, prefix: str) -> Drawing:
    """Draw a Vega-Lite specification.

    Parameters
    ----------
    spec : dict
        A Vega-Lite specification with its data inside.
    alt : str
        What a reader hears who cannot see the chart.
    prefix : str
        Begins every id inside the drawing; one that no other drawing of the page has.

    Returns
    -------
    Drawing
        Equal input gives an equal drawing, byte for byte.

    Raises
    ------
    ReportError
        If the specification cannot be drawn, or asks for data from outside.
    """
    return _drawn(_prepared(spec), _version(spec), alt, prefix)


# The page on the screen and the page on paper ask for the same drawings one after the other.
@lru_cache(maxsize=64)
def _drawn(spec: str, version: str, alt: str, prefix: str) -> Drawing:
    import vl_convert  # a process that has drawn once can no longer be forked: load it late

    try:
        drawn = vl_convert.vegalite_to_svg(spec, vl_version=version, allowed_base_urls=[])
    except ValueError as error:
        reason = str(error).strip().splitlines()[0]
        raise ReportError(f"{prefix} ({alt[:60]}) cannot be drawn: {reason}") from error
    return _finished(drawn, alt, prefix)


def _prepared(spec: dict[str, Any]) -> str:
    """Set what every chart of a report shares: face, clear ground, edges flush with the text."""
    config = {"padding": {"left": 0, "top": 2, "right": 0, "bottom": 2}} | spec.get("config", {})
    config |= {"font": _MEASURED, "background": "transparent"}
    plain = {key: value for key, value in spec.items() if key != "background"}
    text = json.dumps(plain | {"config": config}, ensure_ascii=False, sort_keys=True)
    if '"url":' in text:
        raise ReportError("a chart of a report holds its data inside; this one asks for a url")
    return text.replace('"Libertinus Serif"', f'"{_MEASURED}"')


def _version(spec: dict[str, Any]) -> str:
    """Choose the engine's Vega-Lite release for a specification: the same, else the nearest."""
    import vl_convert

    known: list[str] = vl_convert.get_vegalite_versions()
    found = re.search(r"/vega-lite/v(\d+)(?:\.(\d+))?", str(spec.get("$schema", "")))
    if not found:
        return known[-1]
    wanted = (int(found[1]), int(found[2] or 10**6))
    releases = sorted((int(major), int(minor)) for major, minor in (v.split(".") for v in known))
    same = [release for release in releases if release[0] == wanted[0]]
    if not same:
        raise ReportError(
            f"a chart is written for Vega-Lite {found[1]}; this machine draws {', '.join(known)}"
        )
    best = next((release for release in same if release >= wanted), same[-1])
    return f"{best[0]}.{best[1]}"


def _finished(drawn: str, alt: str, prefix: str) -> Drawing:
    root = ElementTree.fromstring(drawn)
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    for element in list(root.iter()):
        _tidy(element, prefix)
    for text in list(root.iter("text")):
        _enlarge_fractions(text)
    for parent in list(root.iter()):
        for child in [child for child in parent if _shows_nothing(child)]:
            parent.remove(child)
    described = f"{prefix}-words"
    words = ElementTree.Element("desc", {"id": described})
    words.text = alt
    root.insert(0, words)
    root.attrib.update(
        {"xmlns": "http://www.w3.org/2000/svg", "role": "img", "aria-labelledby": described}
        | {"font-family": FACES}
    )
    return Drawing(ElementTree.tostring(root, encoding="unicode"), width, height)


def _tidy(element: ElementTree.Element, prefix: str) -> None:
    """Rename, prefix, recolour, and turn a mark's label into the title that hovering shows."""
    element.tag = element.tag.rpartition("}")[2]
    kind = element.attrib.get("aria-roledescription", "")
    label = element.attrib.get("aria-label")
    kept = {}
    for name, value in element.attrib.items():
        plain = name.rpartition("}")[2]
        if plain in _DROPPED or plain.startswith("aria-") or (plain, value) == ("opacity", "1"):
            continue
        kept[plain] = _pointed(_coloured(plain, value), plain, prefix)
    element.attrib.clear()
    element.attrib.update(kept)
    if label and element.tag != "g" and kind not in _ONE_SHAPE_FOR_MANY:
        title = ElementTree.Element("title")
        title.text = label
        element.insert(0, title)


def _enlarge_fractions(text: ElementTree.Element) -> None:
    size = float(text.attrib.get("font-size", "11px").removesuffix("px"))
    for holder in [text, *text.iter("tspan")]:
        before, *rest = _FRACTION.split(holder.text or "")
        if not rest:
            continue
        holder.text = before
        for place, (fraction, after) in enumerate(zip(rest[::2], rest[1::2], strict=True)):
            large = ElementTree.Element("tspan", {"font-size": f"{size * _FRACTION_SIZE:g}px"})
            large.text, large.tail = fraction, after
            holder.insert(place, large)


def _coloured(name: str, value: str) -> str:
    """Write every colour in one way, so that a style sheet can find it."""
    if name not in ("fill", "stroke", "stop-color"):
        return value
    found = _RGB.fullmatch(value)
    if found:
        return "#" + "".join(f"{int(part):02x}" for part in found.groups())
    return _NAMED.get(value.lower(), value.lower() if value.startswith("#") else value)


def _pointed(value: str, name: str, prefix: str) -> str:
    """Give ids, and what points at them, the prefix of this drawing."""
    if name == "id":
        return f"{prefix}-{value}"
    if name == "href" and value.startswith("#"):
        return f"#{prefix}-{value[1:]}"
    return value.replace("url(#", f"url(#{prefix}-")


def _shows_nothing(element: ElementTree.Element) -> bool:
    if element.attrib.get("display") == "none":
        return True
    if element.tag == "g":
        return len(element) == 0
    clear = element.attrib.get("fill") == "transparent" and len(element) == 0
    return clear or (element.tag == "path" and element.attrib.get("d") == "M0,0h0v0h0Z")
