"""target-sheet.py render PDF NPY | detect NPY: the first page as PDFium shows it; the tags OpenCV sees, in millimetres."""
import json
import sys

import numpy as np

DPI = 300
PX_PER_MM = DPI / 25.4

if sys.argv[1] == "render":
    import pypdfium2

    page = pypdfium2.PdfDocument(sys.argv[2])[0]
    np.save(sys.argv[3], page.render(scale=DPI / 72, grayscale=True).to_numpy().squeeze())
else:
    import cv2

    picture = np.load(sys.argv[2])
    family = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, ids, _ = cv2.aruco.ArucoDetector(family, settings).detectMarkers(picture)
    seen = []
    for quad, number in zip(corners, [] if ids is None else ids.ravel()):
        # pixel centres to millimetres from the page's corner
        mm = (quad.reshape(4, 2) + 0.5) / PX_PER_MM
        sides = [float(np.hypot(*(mm[(k + 1) % 4] - mm[k]))) for k in range(4)]
        seen.append({"id": int(number), "centreMm": mm.mean(axis=0).tolist(), "sidesMm": sides})
    print(json.dumps(seen))
