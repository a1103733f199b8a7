/** The SIMD kernel against the same network written as plain loops over the published weights. */
import { waxMap } from './wax-map.js';
import { WAX_WEIGHTS_BASE64 } from './wax-weights.js';

interface Grid {
  readonly w: number;
  readonly h: number;
  readonly c: number;
  readonly data: Float64Array;
}

const CHANNELS = [8, 16, 24, 32, 40];
const bytes = Buffer.from(WAX_WEIGHTS_BASE64, 'base64');
let at = 0;

/** IEEE 754 binary16, section 3.4: sign, five bits of exponent (bias 15), ten of fraction. */
function half(): number {
  const bits = bytes.readUInt16LE(at);
  at += 2;
  const exponent = (bits >> 10) & 31;
  const size =
    exponent === 0 ? 2 ** -24 * (bits & 1023) : 2 ** (exponent - 15) * (1 + (bits & 1023) / 1024);
  return bits >> 15 ? -size : size;
}

function layer(cin: number, cout: number, side: number): (input: Grid, rectify: boolean) => Grid {
  const weights = Float64Array.from({ length: side * side * cin * cout }, half);
  const bias = Float64Array.from({ length: cout }, half);
  const reach = (side - 1) / 2;
  return (input, rectify) => {
    const { w, h } = input;
    const data = new Float64Array(w * h * cout);
    for (let y = 0; y < h; y++) {
      for (let x = 0; x < w; x++) {
        for (let o = 0; o < cout; o++) {
          let s = bias[o]!;
          for (let v = 0; v < side; v++) {
            for (let u = 0; u < side; u++) {
              const yy = y + v - reach;
              const xx = x + u - reach;
              if (yy < 0 || xx < 0 || yy >= h || xx >= w) continue;
              for (let i = 0; i < cin; i++) {
                s +=
                  input.data[(yy * w + xx) * cin + i]! *
                  weights[((v * side + u) * cin + i) * cout + o]!;
              }
            }
          }
          data[(y * w + x) * cout + o] = rectify ? Math.max(0, s) : s;
        }
      }
    }
    return { w, h, c: cout, data };
  };
}

function resized(
  g: Grid,
  w: number,
  h: number,
  of: (x: number, y: number, c: number) => number,
): Grid {
  const data = new Float64Array(w * h * g.c);
  for (let i = 0; i < data.length; i++) {
    data[i] = of(Math.floor(i / g.c) % w, Math.floor(i / (g.c * w)), i % g.c);
  }
  return { w, h, c: g.c, data };
}

const value = (g: Grid, x: number, y: number, c: number): number =>
  g.data[(y * g.w + x) * g.c + c]!;

test('kernel and plain loops agree to single precision', () => {
  const width = 96;
  const height = 64;
  let state = 5;
  const density = Float32Array.from({ length: width * height }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  });
  let cin = 4;
  const down = CHANNELS.map((cout) => {
    const pair = [layer(cin, cout, 3), layer(cout, cout, 3)] as const;
    cin = cout;
    return pair;
  });
  const up = [3, 2, 1, 0].map((k) => layer(CHANNELS[k + 1]! + CHANNELS[k]!, CHANNELS[k]!, 3));
  const last = layer(CHANNELS[0]!, 3, 1);
  expect(at).toBe(bytes.length);

  const input: Grid = { w: width / 2, h: height / 2, c: 4, data: new Float64Array(density.length) };
  let g = resized(
    input,
    width / 2,
    height / 2,
    (x, y, c) => density[(2 * y + (c >> 1)) * width + 2 * x + (c & 1)]!,
  );
  const skips = down.map(([a, b], level) => {
    const { w, h } = g;
    if (level > 0) {
      const full = g;
      g = resized(full, w / 2, h / 2, (x, y, c) =>
        Math.max(
          value(full, 2 * x, 2 * y, c),
          value(full, 2 * x + 1, 2 * y, c),
          value(full, 2 * x, 2 * y + 1, c),
          value(full, 2 * x + 1, 2 * y + 1, c),
        ),
      );
    }
    g = b(a(g, true), true);
    return g;
  });
  up.forEach((conv, k) => {
    const skip = skips[3 - k]!;
    const low = g;
    const joined: Grid = { ...skip, c: low.c + skip.c, data: new Float64Array() };
    g = conv(
      resized(joined, skip.w, skip.h, (x, y, c) =>
        c < low.c ? value(low, x >> 1, y >> 1, c) : value(skip, x, y, c - low.c),
      ),
      true,
    );
  });
  const answer = last(g, false);
  const map = waxMap(density, width, height);
  let worst = 0;
  [map.came, map.centre, map.outside].forEach((plane, c) => {
    plane.forEach((p, i) => {
      worst = Math.max(worst, Math.abs(p - 1 / (1 + Math.exp(-answer.data[i * 3 + c]!))));
    });
  });
  expect(worst).toBeLessThan(1e-4);
});

test('sides that do not halve whole are refused with what came', () => {
  expect(() => waxMap(new Float32Array(33 * 32), 33, 32)).toThrow('got 33 × 32');
});
