"""Reads a picture back as its reader would: words, sizes, shapes."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass

NAMESPACE = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Picture:
    root: ET.Element

    @property
    def description(self) -> str:
        return self.root.findtext(f"{NAMESPACE}desc") or ""

    @property
    def words(self) -> list[str]:
        texts = self.root.iter(f"{NAMESPACE}text")
        return [(text.text or "") + "".join(child.tail or "" for child in text) for text in texts]

    @property
    def said(self) -> str:
        return " ".join(self.words)

    @property
    def width(self) -> float:
        return float(self.root.get("width", "0"))

    @property
    def height(self) -> float:
        return float(self.root.get("height", "0"))

    def shapes(self, tag: str, **attributes: str) -> list[ET.Element]:
        return [
            shape
            for shape in self.root.iter(f"{NAMESPACE}{tag}")
            if all(shape.get(name.replace("_", "-")) == value for name, value in attributes.items())
        ]

    def filled_with(self, pattern: str) -> list[ET.Element]:
        return [shape for shape in self.shapes("rect") if pattern in (shape.get("fill") or "")]


def read_svg(svg: str) -> Picture:
    return Picture(ET.fromstring(svg))
