/**
 * A single-channel raster: row-major, `data[y * width + x]`, x right, y down, pixel centres at integers.
 */
export interface Plane {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

/** A plane of zeros, or around existing data of length width × height. */
export function makePlane(width: number, height: number, data?: Float32Array): Plane {
  if (!Number.isInteger(width) || !Number.isInteger(height) || width < 1 || height < 1) {
    throw new Error(`a plane needs whole positive sides, got ${width} x ${height}`);
  }
  const d = data ?? new Float32Array(width * height);
  if (d.length !== width * height) {
    throw new Error(
      `a plane of ${width} x ${height} needs ${width * height} values, got ${d.length}`,
    );
  }
  return { width, height, data: d };
}

/** Applies `f` to every value, into a new plane. */
export function mapPlane(plane: Plane, f: (value: number) => number): Plane {
  const out = new Float32Array(plane.data.length);
  for (let i = 0; i < out.length; i++) out[i] = f(plane.data[i]!);
  return { width: plane.width, height: plane.height, data: out };
}
