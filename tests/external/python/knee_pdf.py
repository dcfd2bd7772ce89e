"""What stands in PDF files, read with a library of others. In: [path, ...]. Out: for each its pages: width and height in points,
text, sizes of type and widths of lines in points, and fonts with whether each is embedded."""

import json
import sys

from pdfminer.high_level import extract_pages
from pdfminer.layout import LAParams, LTChar, LTCurve, LTLayoutContainer, LTTextContainer
from pdfminer.pdfpage import PDFPage
from pdfminer.pdftypes import resolve1


def walk(item):
    yield item
    if isinstance(item, (LTLayoutContainer, LTTextContainer)) or hasattr(item, "__iter__"):
        for child in item:
            yield from walk(child)


def fonts(page):
    found = {}
    for font in resolve1(resolve1(page.resources).get("Font", {})).values():
        font = resolve1(font)
        for below in resolve1(font.get("DescendantFonts", [])):
            about = resolve1(resolve1(below)["FontDescriptor"])
            embedded = any(k in about for k in ("FontFile", "FontFile2", "FontFile3"))
            found[about["FontName"].name] = embedded
    return found


answer = []
for path in json.load(sys.stdin):
    pages = []
    with open(path, "rb") as file:
        of_page = [fonts(page) for page in PDFPage.get_pages(file)]
    for page, types in zip(extract_pages(path, laparams=LAParams()), of_page):
        items = list(walk(page))
        pages.append(
            {
                "width": page.width,
                "height": page.height,
                "text": " ".join(i.get_text() for i in items if isinstance(i, LTTextContainer)),
                "sizes": sorted({round(i.size, 2) for i in items if isinstance(i, LTChar)}),
                "lines": sorted({round(i.linewidth, 3) for i in items if isinstance(i, LTCurve) and i.stroke}),
                "fonts": types,
            }
        )
    answer.append(pages)
json.dump(answer, sys.stdout)
