/**
 * Where the leads are: a small convolutional network that reads wax density and says, for each 0.75 mm cell, how likely
 * a came's face covers it and how likely a centre line runs through it.
 *
 * Five scales (1.33 to 0.083 px/mm), so it sees the bare halo beside a came, the rims of a hollow one, and 40 mm of
 * what lies beyond a gap. Trained on generated rubbings only; see tools/train-lead-network.
 */
import { makePlane, type Plane } from '#libs/raster';
import { decodeWeights } from './lead-network-weights.js';
import {
  addUpsampled,
  conv1x1,
  conv3x3Relu,
  type ConvWeights,
  makeTensor,
  maxPool2,
  type Tensor,
} from './tensor.js';

/** Density pixels along a side of one cell; three by three of them are the network's input channels. */
export const CELL_PX = 3;
const SCALES = [10, 20, 32, 48, 64] as const;

export interface LeadEvidence {
  /** Probability that a came's face covers the cell. */
  readonly face: Plane;
  /** Probability that the centre line of a lead passes within 0.8 mm of the cell's centre. */
  readonly centre: Plane;
}

/**
 * Cell (i, j) covers density pixels 3i…3i+2, 3j…3j+2; its centre is density pixel (3i + 1, 3j + 1).
 * @param density wax density 0-1 at 4 px/mm
 */
export function leadEvidence(density: Plane): LeadEvidence {
  const width = Math.floor(density.width / CELL_PX);
  const height = Math.floor(density.height / CELL_PX);
  const step = 1 << (SCALES.length - 1);
  const paddedWidth = Math.ceil(width / step) * step;
  const paddedHeight = Math.ceil(height / step) * step;
  const weights = decodeWeights();
  let next = 0;
  const take = (): ConvWeights => weights[next++]!;

  const skips: Tensor[] = [];
  let t = cells(density, width, height, paddedWidth, paddedHeight);
  for (let d = 0; d < SCALES.length; d++) {
    if (d > 0) t = maxPool2(t);
    t = conv3x3Relu(t, take());
    t = conv3x3Relu(t, take());
    skips.push(t);
  }
  for (let d = SCALES.length - 2; d >= 0; d--) {
    const skip = skips[d]!;
    addUpsampled(skip, conv1x1(t, take()));
    t = conv3x3Relu(skip, take());
    if (d === 0) t = conv3x3Relu(t, take());
  }
  t = conv1x1(t, take());
  return { face: probability(t, 0, width, height), centre: probability(t, 1, width, height) };
}

function cells(
  density: Plane,
  width: number,
  height: number,
  paddedWidth: number,
  paddedHeight: number,
): Tensor {
  const t = makeTensor(CELL_PX * CELL_PX, paddedWidth, paddedHeight);
  const stride = paddedWidth + 2;
  const plane = stride * (paddedHeight + 2);
  for (let y = 0; y < height; y++) {
    for (let v = 0; v < CELL_PX; v++) {
      const row = (y * CELL_PX + v) * density.width;
      for (let x = 0; x < width; x++) {
        for (let u = 0; u < CELL_PX; u++) {
          const d = density.data[row + x * CELL_PX + u]!;
          t.data[(v * CELL_PX + u) * plane + (y + 1) * stride + x + 1] = d > 1 ? 1 : d;
        }
      }
    }
  }
  return t;
}

function probability(t: Tensor, channel: number, width: number, height: number): Plane {
  const out = makePlane(width, height);
  const stride = t.width + 2;
  const plane = stride * (t.height + 2);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const z = t.data[channel * plane + (y + 1) * stride + x + 1]!;
      out.data[y * width + x] = 1 / (1 + Math.exp(-z));
    }
  }
  return out;
}
