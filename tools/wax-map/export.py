"""Writes trained weights as libs/rubbing/src/wax-weights.ts (half floats, base64), in the order that wax-map.ts reads."""
import base64
import pickle
import sys

import numpy as np

LEVELS = 5


def main(weights_file: str, target: str) -> None:
    layers = pickle.load(open(weights_file, "rb"))
    names = [f"e{level}{part}" for level in range(LEVELS) for part in "ab"]
    names += [f"d{level}" for level in range(LEVELS - 2, -1, -1)] + ["out"]
    flat = np.concatenate([np.concatenate([layers[n]["w"].ravel(), layers[n]["b"].ravel()]) for n in names])
    text = base64.b64encode(flat.astype("<f2").tobytes()).decode()
    lines = "' +\n  '".join(text[i : i + 4000] for i in range(0, len(text), 4000))
    with open(target, "w") as f:
        f.write("/** Trained by tools/wax-map (train.py, export.py); do not edit. Half floats, base64. */\n")
        f.write(f"export const WAX_WEIGHTS_BASE64 =\n  '{lines}';\n")


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
