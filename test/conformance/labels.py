"""labels.py render PDF NPZ | read NPZ LEFT,TOP,WIDTH,HEIGHT...: pages as PDFium shows them; the code OpenCV reads in each region of the first page, and where it lies, in millimetres."""
import json
import sys

import numpy as np

DPI = 300
PX_PER_MM = DPI / 25.4

if sys.argv[1] == "render":
    import pypdfium2

    pages = pypdfium2.PdfDocument(sys.argv[2])
    sizes = [[length / 72 * 25.4 for length in page.get_size()] for page in pages]
    picture = pages[0].render(scale=DPI / 72, grayscale=True).to_numpy().squeeze()
    np.savez(sys.argv[3], picture=picture, sizes=np.array(sizes))
else:
    import cv2

    kept = np.load(sys.argv[2])
    picture = kept["picture"]
    seen = []
    for region in sys.argv[3:]:
        left, top, width, height = (round(float(mm) * PX_PER_MM) for mm in region.split(","))
        cut = np.ascontiguousarray(picture[top : top + height, left : left + width])
        # The reader misses a sound code at one size now and then, as a camera does until it is moved.
        for scale in (1, 0.7, 0.5):
            nearer = cut if scale == 1 else cv2.resize(cut, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
            text, quad, _ = cv2.QRCodeDetector().detectAndDecode(nearer)
            if text:
                break
        corner = None if quad is None else ((quad.reshape(4, 2)[0] / scale + (left, top)) / PX_PER_MM).tolist()
        seen.append({"text": text, "cornerMm": corner})
    print(json.dumps({"sizesMm": kept["sizes"].tolist(), "codes": seen}))
