"""Reads a printed sheet back: pages, words, what it claims to be."""

import io

import pypdf


class Print:
    def __init__(self, pdf: bytes) -> None:
        self._reader = pypdf.PdfReader(io.BytesIO(pdf))
        self.pages = [" ".join(page.extract_text().split()) for page in self._reader.pages]

    @property
    def catalogue(self) -> pypdf.generic.DictionaryObject:
        return self._reader.trailer["/Root"].get_object()

    @property
    def claims(self) -> str:
        return self.catalogue["/Metadata"].get_object().get_data().decode()

    @property
    def title(self) -> str:
        return str(self._reader.metadata.title)

    @property
    def smallest_letters(self) -> float:
        sizes: list[float] = []

        def see(text, _, matrix, __, size) -> None:
            if text.strip():
                sizes.append(size * abs(matrix[3]))

        self._reader.pages[0].extract_text(visitor_text=see)
        return min(sizes)

    def alternatives(self) -> list[str]:
        found: list[str] = []
        waiting = [self.catalogue["/StructTreeRoot"]]
        while waiting:
            node = waiting.pop().get_object()
            if isinstance(node, list):
                waiting.extend(node)
            elif isinstance(node, dict):
                found += [str(node["/Alt"])] if "/Alt" in node else []
                waiting += [node["/K"]] if "/K" in node else []
        return found
