"""The ordinary way from a rubbing to leads, as a peer: threshold, close, skeleton; distance; watershed.

ordinary.py CASE_FOLDER RESULT.json - one picture with marks at known places. Written for the bench with
scikit-image, its steps in their usual order and with its defaults where they exist; nothing of ours in it.
"""
import json
import os
import resource
import sys
import time

import numpy as np
from PIL import Image, ImageOps
from scipy import ndimage as ndi
from skimage import color, filters, measure, morphology, segmentation, transform

PX_PER_MM = 5.0
MARGIN_MM = 6.0


def main(folder, result_path):
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    with open(os.path.join(folder, "input.json"), encoding="utf8") as file:
        entry = json.load(file)["images"][0]
    with open(os.path.join(folder, "clicks.json"), encoding="utf8") as file:
        clicks = np.array(json.load(file)[entry["image"]], float)
    start, cpu = time.perf_counter(), time.process_time()
    picture = ImageOps.exif_transpose(Image.open(os.path.join(folder, entry["image"])))
    grey = color.rgb2gray(np.asarray(picture.convert("RGB")))
    rubbing = read(grey, clicks, np.array([p["mm"] for p in entry["control"]["points"]], float))
    cost = {
        "seconds": time.perf_counter() - start,
        "cpu_seconds": time.process_time() - cpu,
        "peak_rss_mib": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }
    with open(result_path, "w", encoding="utf8") as file:
        json.dump({"rubbing": rubbing, **cost}, file)


def read(grey, clicks, marks_mm):
    low, high = marks_mm.min(0) - MARGIN_MM, marks_mm.max(0) + MARGIN_MM
    to_mm = lambda p: [float(p[0] / PX_PER_MM + low[0]), float(p[1] / PX_PER_MM + low[1])]
    flat_px = (marks_mm - low) * PX_PER_MM
    lens = transform.ProjectiveTransform.from_estimate(flat_px, clicks)
    size = np.ceil((high - low) * PX_PER_MM).astype(int)
    flat = transform.warp(grey, lens, output_shape=(size[1], size[0]), order=1, cval=1.0)

    # Light evened out by the paper's own brightness, then one threshold for the sheet.
    smooth = filters.gaussian(flat, 0.6 * PX_PER_MM)
    paper = filters.gaussian(ndi.percentile_filter(smooth[::4, ::4], 85, int(5 * PX_PER_MM)), 2 * PX_PER_MM)
    paper = transform.resize(paper, flat.shape, order=1)
    density = 1 - smooth / np.maximum(paper, 0.05)
    dark = density > filters.threshold_otsu(density)
    lead = ndi.binary_closing(dark, morphology.disk(int(1.4 * PX_PER_MM)))
    lead = ndi.binary_opening(lead, morphology.disk(int(1.0 * PX_PER_MM)))
    lead = morphology.remove_small_objects(lead, max_size=int((20 * PX_PER_MM) ** 2))
    lead = morphology.remove_small_holes(lead, max_size=int((5 * PX_PER_MM) ** 2))

    depth = ndi.distance_transform_edt(lead)
    leads, joints = skeleton_leads(morphology.skeletonize(lead), depth, to_mm)

    room = ndi.distance_transform_edt(~lead)
    seeds = measure.label(morphology.h_maxima(np.minimum(room, 8 * PX_PER_MM), 1.5 * PX_PER_MM))
    regions = segmentation.watershed(-room, seeds)
    pieces, adjacency = pieces_of(regions, to_mm)
    return {"leads": leads, "pieces": pieces, "adjacency": adjacency, "junctions": joints}


def skeleton_leads(skeleton, depth, to_mm):
    neighbours = ndi.convolve(skeleton.astype(int), np.ones((3, 3), int)) - 1
    nodes = skeleton & (neighbours != 2)
    crossings = skeleton & (neighbours > 2)
    parts = measure.label(skeleton & ~ndi.binary_dilation(crossings, np.ones((3, 3))), connectivity=2)
    leads = []
    for part in measure.regionprops(parts):
        path = ordered(part.coords, nodes)
        if len(path) < 8 * PX_PER_MM:
            continue
        width = 2 * float(np.median(depth[path[:, 0], path[:, 1]])) - 1
        line = [to_mm((x, y)) for y, x in path[:: max(1, int(PX_PER_MM))]]
        line.append(to_mm((path[-1][1], path[-1][0])))
        leads.append({"line": line, "width_mm": width / PX_PER_MM})
    spots = measure.regionprops(measure.label(ndi.binary_dilation(crossings, np.ones((5, 5)))))
    joints = [to_mm((p.centroid[1], p.centroid[0])) for p in spots]
    return leads, joints


def ordered(coords, nodes):
    """Pixels of one skeleton part from one end to the other, nearest next."""
    left = {tuple(c) for c in coords}
    ends = [c for c in left if sum((c[0] + a, c[1] + b) in left for a in (-1, 0, 1) for b in (-1, 0, 1)) == 2]
    at = ends[0] if ends else next(iter(left))
    path = []
    while at is not None:
        path.append(at)
        left.discard(at)
        near = [(at[0] + a, at[1] + b) for a, b in ((0, 1), (1, 0), (0, -1), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1))]
        at = next((n for n in near if n in left), None)
    return np.array(path)


def pieces_of(regions, to_mm):
    outside = set(np.unique(np.concatenate([regions[0], regions[-1], regions[:, 0], regions[:, -1]])))
    pieces = []
    for part in measure.regionprops(regions):
        if part.label in outside:
            continue
        contour = max(measure.find_contours(np.pad(part.image, 1).astype(float), 0.5), key=len)
        y0, x0 = part.bbox[0] - 1, part.bbox[1] - 1
        ring = measure.approximate_polygon(contour + [y0, x0], 0.5)
        pieces.append({"id": int(part.label), "polygon": [to_mm((x, y)) for y, x in ring]})
    kept = {p["id"] for p in pieces}
    pairs = set()
    for a, b in ((regions[:, 1:], regions[:, :-1]), (regions[1:], regions[:-1])):
        differ = a != b
        pairs |= {tuple(sorted(p)) for p in zip(a[differ].tolist(), b[differ].tolist())}
    return pieces, [list(p) for p in pairs if p[0] in kept and p[1] in kept]


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
