"""A label in front of a camera: what Chromium's make-believe camera shows, from a PDF of ours.

The picture is written as YUV4MPEG2, which Chromium takes with `--use-file-for-fake-video-capture`.
"""

from __future__ import annotations

from pathlib import Path

import pypdfium2
from PIL import Image

from web.label_pdf import pdf
from web.label_sheets import SHEETS, Label

SIZE = (1280, 720)
_FRAMES = 6
_LABEL_PX = 900
"""How wide the label stands in the picture: held a hand away."""


def film(path: Path, mark: str, code: str) -> Path:
    """Write a film of one label with this mark; returns the path."""
    sheet = SHEETS["70x37"]
    page = pypdfium2.PdfDocument(pdf([Label(mark, mark, "LP, Tides")], sheet, code))[0]
    dots = page.render(scale=300 / 72).to_pil().convert("L")
    per_mm = 300 / 25.4
    box = (sheet.left, sheet.top, sheet.left + sheet.width, sheet.top + sheet.height)
    label = dots.crop(tuple(round(side * per_mm) for side in box))
    high = round(label.height * _LABEL_PX / label.width)
    picture = Image.new("L", SIZE, 120)  # a grey shelf behind it
    picture.paste(
        label.resize((_LABEL_PX, high)), ((SIZE[0] - _LABEL_PX) // 2, (SIZE[1] - high) // 2)
    )
    light = picture.tobytes()
    colour = bytes([128]) * (SIZE[0] * SIZE[1] // 2)
    with path.open("wb") as file:
        file.write(f"YUV4MPEG2 W{SIZE[0]} H{SIZE[1]} F10:1 Ip A1:1 C420jpeg\n".encode())
        for _ in range(_FRAMES):
            file.write(b"FRAME\n" + light + colour)
    return path
