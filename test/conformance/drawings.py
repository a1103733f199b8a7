"""Reads the files that drawings.ts wrote: drawings.py FOLDER, one line of JSON a check."""
import copy
import json
import math
import os
import sys

import ezdxf
import ezdxf.path
import numpy as np
import pypdfium2
import shapely
import shapely.geometry
from jsonschema import Draft202012Validator

FOLDER = sys.argv[1]
PX_PER_MM = 20
# ISO 216; Letter is 8.5 x 11 in (ANSI/ASME Y14.1).
PAPER_MM = {"A4": (210, 297), "A3": (297, 420), "Letter": (215.9, 279.4)}


def say(sentence, holds, detail=""):
    print(json.dumps({"sentence": sentence, "holds": bool(holds), "detail": str(detail)}))


def load(name):
    with open(os.path.join(FOLDER, name), encoding="utf8") as file:
        return json.load(file)


expected = load("expected.json")


def dxf():
    document = ezdxf.readfile(os.path.join(FOLDER, "net.dxf"))
    audit = document.audit()
    say("DXF: ezdxf's audit finds no errors and mends nothing", not audit.errors and not audit.fixes,
        [str(e.message) for e in audit.errors + audit.fixes][:5])
    say("DXF: the unit is the millimetre", document.units == ezdxf.units.MM, document.units)
    missing = [name for name in expected["layers"] if name not in document.layers]
    say("DXF: every layer is there", not missing, missing)
    space = document.modelspace()
    leads = [e for e in space if e.dxf.layer in expected["leadLayers"]]
    say("DXF: a polyline a lead", len(leads) == len(expected["leads"]) and {e.dxftype() for e in leads} == {"LWPOLYLINE"},
        f"{len(leads)} of {len(expected['leads'])}")
    worst = {"curve": 0.0, "line": 0.0, "end": 0.0}
    for entity, lead in zip(leads, expected["leads"]):
        path = ezdxf.path.make_path(entity)
        points = list(path.flattening(0.0002))
        length = sum(a.distance(b) for a, b in zip(points, points[1:]))
        worst["curve"] = max(worst["curve"], abs(length - lead["curveMm"]))
        worst["line"] = max(worst["line"], abs(length - lead["lineMm"]) - 0.002 * lead["lineMm"])
        for point, (x, y) in zip((points[0], points[-1]), lead["ends"]):
            worst["end"] = max(worst["end"], math.hypot(point.x - x, point.y - y))
    say("DXF: every lead as long as in the net, to 0.01 mm", worst["curve"] <= 0.01, worst)
    say("DXF: and as its measured line, to 0.2 % and 0.1 mm", worst["line"] <= 0.1, worst)
    say("DXF: every lead's ends where they belong, to 0.01 mm", worst["end"] <= 0.01, worst)
    box = panel_box(space)
    off = max(abs(a - b) for a, b in zip(box, expected["sizeMm"]))
    # The edge is drawn as fitted curves: a corner may be rounded off a little.
    say("DXF: the panel's edge has its size, to 0.1 mm", off <= 0.1, f"{box} {expected['sizeMm']}")


def panel_box(space):
    edge = [e for e in space if e.dxf.layer == "PANEL_EDGE"]
    points = [p for e in edge for p in ezdxf.path.make_path(e).flattening(0.001)]
    xs, ys = [p.x for p in points], [p.y for p in points]
    return [max(xs) - min(xs), max(ys) - min(ys)]


def schema():
    published = load("schema.json")
    Draft202012Validator.check_schema(published)
    validator = Draft202012Validator(published)
    net = load("net.json")
    say("JSON Schema: the net keeps to it", validator.is_valid(net), next((e.message for e in validator.iter_errors(net)), ""))
    earlier = load("earlier.json")
    say("JSON Schema: so does a stored net", validator.is_valid(earlier), next((e.message for e in validator.iter_errors(earlier)), ""))
    damages = {
        "a lead without its line": lambda n: n["leads"][0].pop("lineMm"),
        "a face width in words": lambda n: n["leads"][0].update(faceWidthMm="six"),
        "a kind that is none": lambda n: n["leads"][0].update(kind="rail"),
        "a point with three numbers": lambda n: n["joints"][0].update(xyMm=[1, 2, 3]),
        "another format": lambda n: n.update(format="other/1"),
    }
    accepted = []
    for name, damage in damages.items():
        spoilt = copy.deepcopy(net)
        damage(spoilt)
        if validator.is_valid(spoilt):
            accepted.append(name)
    say("JSON Schema: it refuses spoilt nets", not accepted, accepted)


def features():
    collection = load("features.json")
    shapes = {f["id"] if "id" in f else f["properties"]["name"]: (shapely.geometry.shape(f["geometry"]), f) for f in collection["features"]}
    wanted = {"outline", *(lead["id"] for lead in expected["leads"]), *expected["sightMm2"]}
    say("features: outline, every lead and every piece are there", wanted <= set(shapes), sorted(wanted - set(shapes))[:5])
    say("features: every one is valid", all(s.is_valid for s, _ in shapes.values()),
        [k for k, (s, _) in shapes.items() if not s.is_valid][:5])
    worst = max(abs(shapes[lead["id"]][0].length - lead["lineMm"]) for lead in expected["leads"])
    say("features: every lead as long as in the net, to 0.01 mm", worst <= 0.01, worst)
    pieces = {k: shapes[k][0] for k in expected["sightMm2"]}
    worst = max(abs(pieces[k].area - area) for k, area in expected["sightMm2"].items())
    say("features: every piece's glass has its area, to 0.5 mm²", worst <= 0.5, worst)
    together = shapely.unary_union(list(pieces.values())).area
    alone = sum(p.area for p in pieces.values())
    say("features: no piece overlaps another", abs(together - alone) <= 0.5, f"{together} {alone}")
    outline = shapes["outline"][0].buffer(0.01)
    say("features: every piece lies within the outline", all(outline.contains(p) for p in pieces.values()))


def pdf():
    for paper in expected["papers"]:
        document = pypdfium2.PdfDocument(os.path.join(FOLDER, f"{paper}.pdf"))
        sizes = {tuple(round(v * 25.4 / 72, 1) for v in document[i].get_size()) for i in range(1, len(document))}
        w, h = PAPER_MM[paper]
        right = all(min(math.dist(s, (w, h)), math.dist(s, (h, w))) < 0.2 for s in sizes)
        say(f"PDF {paper}: its sheets have the paper's size", len(document) > 1 and right, sizes)
        page = document[0].render(scale=PX_PER_MM * 25.4 / 72).to_numpy()
        side = check_square(page[:, :, :3].mean(axis=2) < 150)
        say(f"PDF {paper}: PDFium draws the check square 100 x 100 mm, to 0.2 mm",
            side is not None and all(abs(s - 100) <= 0.2 for s in side), side)


def check_square(ink):
    """Sides in mm between the middles of its strokes: the two upright strokes of about 100 mm and their ends."""
    runs = {}
    for x in range(ink.shape[1]):
        y0, length = longest_run(ink[:, x])
        if 98 * PX_PER_MM <= length <= 102 * PX_PER_MM:
            runs[x] = (y0, y0 + length)
    groups = np.split(np.array(sorted(runs)), np.where(np.diff(sorted(runs)) > 1)[0] + 1)
    strokes = [g for g in groups if 0 < len(g) <= 12]
    if len(strokes) != 2:
        return None
    thick = (len(strokes[0]) + len(strokes[1])) / 2
    width = (strokes[1].mean() - strokes[0].mean()) / PX_PER_MM
    y0, y1 = runs[int(strokes[0][len(strokes[0]) // 2])]
    return width, (y1 - y0 - thick) / PX_PER_MM


def longest_run(line):
    edges = np.flatnonzero(np.diff(np.concatenate([[0], line.astype(np.int8), [0]])))
    starts, ends = edges[::2], edges[1::2]
    if len(starts) == 0:
        return 0, 0
    best = int(np.argmax(ends - starts))
    return int(starts[best]), int(ends[best] - starts[best])


dxf()
schema()
features()
pdf()
