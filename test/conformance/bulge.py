"""Judges surfaces written by bulge.ts: bulge.py FILE, one line of JSON a check."""
import json
import sys

import numpy as np
from scipy.interpolate import RBFInterpolator, SmoothBivariateSpline

for case in json.load(open(sys.argv[1])):
    readings = np.array(case["readings"], float)
    places = np.array(case["places"], float)
    ours = np.array(case["heights"], float)
    truth = np.array(case["truth"], float)
    noise = case["noiseMm"]
    # Thin plate with a knot a reading; its smoothing by the readings left out in turn, as SciPy lets one choose.
    scale = 100.0
    best = None
    rng = np.random.default_rng(1)
    folds = rng.integers(0, 5, len(readings))
    for smoothing in 10.0 ** np.arange(-4, 3.1, 0.5):
        left = 0.0
        for k in range(5):
            fit = RBFInterpolator(readings[folds != k, :2] / scale, readings[folds != k, 2],
                                  kernel="thin_plate_spline", smoothing=smoothing)
            left += float(((fit(readings[folds == k, :2] / scale) - readings[folds == k, 2]) ** 2).sum())
        if best is None or left < best[0]:
            best = (left, smoothing)
    plate = RBFInterpolator(readings[:, :2] / scale, readings[:, 2], kernel="thin_plate_spline",
                            smoothing=best[1])(places / scale)
    spline = SmoothBivariateSpline(readings[:, 0], readings[:, 1], readings[:, 2],
                                   w=np.full(len(readings), 1 / noise), s=len(readings)).ev(*places.T)
    rms = lambda a: float(np.sqrt(((a - truth) ** 2).mean()))
    apart = float(np.sqrt(((ours - plate) ** 2).mean()))
    detail = (f"rms off truth: ours {rms(ours):.3f}, thin plate {rms(plate):.3f}, "
              f"smoothed bicubic spline {rms(spline):.3f}; ours from thin plate {apart:.3f} mm")
    # Two good smoothers of the same readings differ by less than either is off.
    print(json.dumps({"sentence": f"bulge, {case['name']}: no farther off truth than SciPy's thin plate + 10 %",
                      "holds": rms(ours) <= 1.1 * rms(plate) + 0.005, "detail": detail}))
    print(json.dumps({"sentence": f"bulge, {case['name']}: SciPy's thin plate within the noise",
                      "holds": apart < noise, "detail": detail}))
