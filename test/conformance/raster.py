"""Judges arrays written by raster.ts: raster.py FOLDER WIDTH HEIGHT, one line of JSON a check."""
import json
import os
import sys

import cv2
import numpy as np
from scipy import ndimage as ndi
from skimage import measure, segmentation, transform

FOLDER, WIDTH, HEIGHT = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
TYPES = {"Uint8Array": np.uint8, "Int32Array": np.int32, "Float32Array": np.float32}


def array(name):
    for kind, dtype in TYPES.items():
        path = os.path.join(FOLDER, f"{name}.{kind}")
        if os.path.exists(path):
            return np.fromfile(path, dtype).reshape(HEIGHT, WIDTH)
    raise FileNotFoundError(name)


def say(sentence, holds, detail=""):
    print(json.dumps({"sentence": sentence, "holds": bool(holds), "detail": str(detail)}))


def same_partition(a, b):
    """Equal up to the names of the labels, background 0 kept."""
    pairs = np.unique(np.stack([a.ravel(), b.ravel()]), axis=1)
    one_to_one = len(np.unique(pairs[0])) == pairs.shape[1] == len(np.unique(pairs[1]))
    return one_to_one and np.array_equal(a == 0, b == 0)


grey, mask = array("grey"), array("mask")

ours = np.sqrt(array("distance"))
scipy_distance = ndi.distance_transform_edt(mask == 0)
say("distance transform: SciPy's exact one, to 1e-4 px", np.abs(ours - scipy_distance).max() < 1e-4,
    np.abs(ours - scipy_distance).max())
# OpenCV's precise mask is a float32 parabola envelope.
cv = cv2.distanceTransform(1 - mask, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
say("distance transform: OpenCV's precise one, to 1e-3 px", np.abs(ours - cv).max() < 1e-3, np.abs(ours - cv).max())

for connectivity in (4, 8):
    labels = array(f"labels{connectivity}")
    peer = measure.label(mask, connectivity=connectivity // 4)
    say(f"labels, {connectivity} neighbours: scikit-image's", same_partition(labels, peer), labels.max())
    count, peer = cv2.connectedComponents(mask, connectivity=connectivity)
    say(f"labels, {connectivity} neighbours: OpenCV's", same_partition(labels, peer) and labels.max() == count - 1,
        f"{labels.max()} and {count - 1}")

seeds, flooded = array("seeds"), array("flooded")
peer = segmentation.watershed(grey, seeds)
say("watershed: every pixel in some basin", (flooded > 0).all() and set(np.unique(flooded)) == set(np.unique(seeds)) - {0})
say("watershed: seeds keep their labels", np.array_equal(flooded[seeds > 0], seeds[seeds > 0]))
# Plateaus may be shared out differently; the basins must be scikit-image's.
agree = (flooded == peer).mean()
say("watershed: scikit-image's basins on 97 % of the pixels", agree >= 0.97, f"{agree:.4f}")
sizes, peers = np.bincount(flooded.ravel()), np.bincount(peer.ravel())
both = np.bincount(flooded[flooded == peer], minlength=len(sizes))
large = (np.maximum(sizes, peers) > 2000)
share = (both / np.maximum(np.maximum(sizes, peers), 1))[large]
say("watershed: every basin over 2000 px overlaps its peer by 80 %", large.sum() > 3 and share.min() >= 0.8, share.min())

nearest, squared = array("nearest"), array("nearestSquared")
peer, where = ndi.distance_transform_edt(seeds == 0, return_indices=True)
say("nearest label: SciPy's distances, to 1e-4 px", np.abs(np.sqrt(squared) - peer).max() < 1e-4)
# Two seeds at the same distance: either is nearest.
differ = seeds[tuple(where)] != nearest
own = np.zeros(nearest.shape, bool)
for label in np.unique(nearest[differ]):
    own |= differ & (nearest == label) & (np.abs(ndi.distance_transform_edt(seeds != label) - peer) < 1e-4)
say("nearest label: SciPy's labels, ties apart", np.array_equal(own, differ) and differ.mean() < 0.01, differ.mean())

plane = grey.astype(np.float64)
box = ndi.uniform_filter(plane, (9, 13), mode="nearest")
say("box blur: SciPy's, to 0.01 of 255", np.abs(array("box") - box).max() < 0.01, np.abs(array("box") - box).max())
highest = ndi.maximum_filter(plane, 11, mode="constant", cval=-1)
say("maximum filter: SciPy's", np.array_equal(array("highest"), highest))
closed = cv2.morphologyEx(grey, cv2.MORPH_CLOSE, np.ones((11, 11), np.uint8))
say("closing: OpenCV's", np.array_equal(array("closed"), closed), np.abs(array("closed") - closed).max())

with open(os.path.join(FOLDER, "homographies.json"), encoding="utf8") as file:
    fits = json.load(file)
grid = np.array([[x, y] for x in range(0, 401, 80) for y in range(0, 531, 106)], float)


def apply(h, points):
    p = np.column_stack([points, np.ones(len(points))]) @ np.array(h, float).reshape(3, 3).T
    return p[:, :2] / p[:, 2:]


worst = {"exact": 0.0, "scikit-image": 0.0, "OpenCV": 0.0}
for fit in fits:
    source, target = np.array(fit["from"]), np.array(fit["to"])
    algebraic, geometric = apply(fit["algebraic"], grid), apply(fit["geometric"], grid)
    peer = transform.ProjectiveTransform.from_estimate(source, target)(grid)
    refined = apply(cv2.findHomography(source, target, 0)[0], grid)
    if fit["exact"]:
        worst["exact"] = max(worst["exact"], np.abs(algebraic - peer).max(), np.abs(geometric - peer).max())
        worst["OpenCV"] = max(worst["OpenCV"], np.abs(geometric - refined).max())
    else:
        worst["scikit-image"] = max(worst["scikit-image"], np.abs(algebraic - peer).max())
        worst["OpenCV"] = max(worst["OpenCV"], np.abs(geometric - refined).max())
say("homographies of exact points, both fits: scikit-image's, to 1e-6 px", worst["exact"] < 1e-6, worst)
say("homography with half a pixel of error, linear fit: scikit-image's, to 0.1 px", worst["scikit-image"] < 0.1, worst)
# OpenCV keeps the points in 32-bit floats: about 1e-4 px at 2000 px, more away from them.
say("homography, least pixels: OpenCV's, to 1e-3 px", worst["OpenCV"] < 1e-3, worst)
