/** 1 on the cells before a wall between two regions. */
export function wallCells(labels: Int32Array, width: number, height: number): Uint8Array {
  const out = new Uint8Array(labels.length);
  for (let y = 0; y < height - 1; y++) {
    for (let x = 0; x < width - 1; x++) {
      const i = y * width + x;
      if (labels[i] !== labels[i + 1] || labels[i] !== labels[i + width]) out[i] = 1;
    }
  }
  return out;
}
