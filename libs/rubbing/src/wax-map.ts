/**
 * The wax map: for each place on the sheet, how likely it is that a came was rubbed there.
 *
 * A small convolutional network (U-Net: 8-16-24-32-40 channels, 3 × 3, trained on generated patches by
 * tools/wax-map) reads wax density at 4 px/mm and answers at 2 px/mm. It sees about 80 mm round each
 * place, so it bridges gaps and hollow cames from their context, which fixed filters do not.
 * Runs in a SIMD WebAssembly kernel (libs/rubbing/kernels/conv.ts), row-major, channels innermost.
 */

import { WAX_KERNEL_BASE64 } from './wax-kernel.wasm.js';
import { WAX_WEIGHTS_BASE64 } from './wax-weights.js';

export interface WaxMap {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerMm: 2;
  /** 0-1: inside the face of a came, gaps in the wax included. */
  readonly came: Float32Array;
  /** 0-1: exp(-(d / 0.9 mm)²), d the distance to the nearest centre line. */
  readonly centre: Float32Array;
  /** 0-1: outside the panel. */
  readonly outside: Float32Array;
}

const CHANNELS = [8, 16, 24, 32, 40] as const;
const INPUTS = 4; // the 2 × 2 density pixels of one answer pixel
const STEP = 2 ** CHANNELS.length; // density pixels that the coarsest level needs whole
/** Answer pixels in one tile and round it: the net sees about 80 mm, most of its weight within 48 mm. */
const TILE = 896;
const HALO = 96;

/** The part of the WebAssembly JavaScript interface that is used; Node's types do not declare it. */
interface Wasm {
  Memory: new (size: { initial: number }) => { buffer: ArrayBuffer; grow(pages: number): number };
  Module: new (code: Uint8Array<ArrayBuffer>) => object;
  Instance: new (
    module: object,
    imports: { env: { memory: object } },
  ) => { exports: Record<string, unknown> };
}
const wasm = (globalThis as unknown as { WebAssembly: Wasm }).WebAssembly;

interface Kernel {
  conv3x3(
    input: number,
    w: number,
    h: number,
    cin: number,
    weights: number,
    bias: number,
    output: number,
    cout: number,
  ): void;
  pool2(input: number, w: number, h: number, c: number, output: number): void;
  upJoin(
    low: number,
    lowC: number,
    skip: number,
    skipC: number,
    w: number,
    h: number,
    output: number,
  ): void;
}

/**
 * @param density 1 - intensity/paper, about -0.3 … 1.2, 4 px/mm, row-major
 * @param widthPx multiple of 32, so that each level halves whole
 * @param heightPx multiple of 32
 */
export function waxMap(density: Float32Array, widthPx: number, heightPx: number): WaxMap {
  if (widthPx % STEP !== 0 || heightPx % STEP !== 0 || density.length !== widthPx * heightPx) {
    throw new RangeError(
      `expected sides that are multiples of ${STEP}, got ${widthPx} × ${heightPx} for ${density.length} values`,
    );
  }
  const w = widthPx / 2;
  const h = heightPx / 2;
  const map = {
    widthPx: w,
    heightPx: h,
    pxPerMm: 2 as const,
    came: new Float32Array(w * h),
    centre: new Float32Array(w * h),
    outside: new Float32Array(w * h),
  };
  const net = new WaxNet();
  const whole = w * h <= 1.3e6;
  const tile = whole ? Math.max(w, h) : TILE;
  for (let y0 = 0; y0 < h; y0 += tile) {
    for (let x0 = 0; x0 < w; x0 += tile) {
      const core = { x0, y0, x1: Math.min(w, x0 + tile), y1: Math.min(h, y0 + tile) };
      const view = {
        x0: Math.max(0, x0 - HALO),
        y0: Math.max(0, y0 - HALO),
        x1: Math.min(w, core.x1 + HALO),
        y1: Math.min(h, core.y1 + HALO),
      };
      net.run(density, widthPx, view, core, map);
    }
  }
  return map;
}

interface Box {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

class WaxNet {
  private readonly memory = new wasm.Memory({ initial: 64 });
  private readonly kernel: Kernel;
  private readonly params = readWeights();
  private readonly placed = new Map<string, { weights: number; bias: number }>();
  private next = 1024;
  /** Room of the layers: in use by its place, and free, smallest first. */
  private readonly used = new Map<number, Room>();
  private free: Room[] = [];
  private readonly fixed: number;

  constructor() {
    const code = new wasm.Module(bytesOf(WAX_KERNEL_BASE64));
    const instance = new wasm.Instance(code, { env: { memory: this.memory } });
    this.kernel = instance.exports as unknown as Kernel;
    for (const [name, layer] of this.params) {
      if (name !== 'out') this.placed.set(name, this.place(layer));
    }
    this.fixed = this.next;
  }

  /** Answers for `view` (a box of answer pixels, sides multiples of 16) and keeps what lies in `core`. */
  run(density: Float32Array, densityW: number, view: Box, core: Box, map: WaxMap): void {
    this.next = this.fixed;
    this.used.clear();
    this.free = [];
    const w = view.x1 - view.x0;
    const h = view.y1 - view.y0;
    let at = this.buffer(w, h, INPUTS);
    this.loadInput(at, density, densityW, view, w, h);
    let cin: number = INPUTS;
    const skips: number[] = [];
    CHANNELS.forEach((cout, level) => {
      const lw = w >> level;
      const lh = h >> level;
      const first = this.conv(`e${level}a`, at, lw, lh, cin, cout);
      this.release(at);
      at = this.conv(`e${level}b`, first, lw, lh, cout, cout);
      this.release(first);
      skips.push(at);
      cin = cout;
      if (level < CHANNELS.length - 1) {
        const smaller = this.buffer(lw / 2, lh / 2, cout);
        this.kernel.pool2(at, lw, lh, cout, smaller);
        at = smaller;
      }
    });
    for (let level = CHANNELS.length - 2; level >= 0; level--) {
      const lw = w >> level;
      const lh = h >> level;
      const lowC = CHANNELS[level + 1]!;
      const skipC = CHANNELS[level]!;
      const joined = this.buffer(lw, lh, lowC + skipC);
      this.kernel.upJoin(at, lowC, skips[level]!, skipC, lw, lh, joined);
      this.release(at);
      this.release(skips[level]!);
      at = this.conv(`d${level}`, joined, lw, lh, lowC + skipC, skipC);
      this.release(joined);
    }
    this.readAnswer(at, view, core, w, map);
  }

  private conv(
    name: string,
    input: number,
    w: number,
    h: number,
    cin: number,
    cout: number,
  ): number {
    const output = this.buffer(w, h, cout);
    const { weights, bias } = this.placed.get(name)!;
    this.kernel.conv3x3(input, w, h, cin, weights, bias, output, cout);
    return output;
  }

  private loadInput(
    at: number,
    density: Float32Array,
    densityW: number,
    view: Box,
    w: number,
    h: number,
  ) {
    const input = new Float32Array(this.memory.buffer, at, (w + 2) * (h + 2) * INPUTS);
    for (let y = 0; y < h; y++) {
      let o = ((y + 1) * (w + 2) + 1) * INPUTS;
      let top = 2 * (view.y0 + y) * densityW + 2 * view.x0;
      for (let x = 0; x < w; x++, o += INPUTS, top += 2) {
        input[o] = density[top]!;
        input[o + 1] = density[top + 1]!;
        input[o + 2] = density[top + densityW]!;
        input[o + 3] = density[top + densityW + 1]!;
      }
    }
  }

  private readAnswer(at: number, view: Box, core: Box, w: number, map: WaxMap): void {
    const { weights, bias } = this.params.get('out')!;
    const c = CHANNELS[0];
    const rows = new Float32Array(this.memory.buffer, at);
    const { came, centre, outside } = map;
    for (let y = core.y0; y < core.y1; y++) {
      let i = ((y - view.y0 + 1) * (w + 2) + (core.x0 - view.x0 + 1)) * c;
      for (let o = y * map.widthPx + core.x0; o < y * map.widthPx + core.x1; o++, i += c) {
        let a = bias[0]!;
        let b = bias[1]!;
        let d = bias[2]!;
        for (let j = 0; j < c; j++) {
          const value = rows[i + j]!;
          a += value * weights[3 * j]!;
          b += value * weights[3 * j + 1]!;
          d += value * weights[3 * j + 2]!;
        }
        came[o] = 1 / (1 + Math.exp(-a));
        centre[o] = 1 / (1 + Math.exp(-b));
        outside[o] = 1 / (1 + Math.exp(-d));
      }
    }
  }

  /** Room for w × h pixels with their border; the border is zeroed, each layer fills the rest. */
  private buffer(w: number, h: number, channels: number): number {
    const row = (w + 2) * channels;
    const sizeBytes = row * (h + 2) * 4;
    const free = this.free.findIndex((room) => room.sizeBytes >= sizeBytes);
    const room =
      free >= 0 ? this.free.splice(free, 1)[0]! : { at: this.allocate(sizeBytes), sizeBytes };
    this.used.set(room.at, room);
    const values = new Float32Array(this.memory.buffer, room.at, sizeBytes / 4);
    values.fill(0, 0, row);
    values.fill(0, row * (h + 1));
    for (let y = 1; y <= h; y++) {
      values.fill(0, y * row, y * row + channels);
      values.fill(0, (y + 1) * row - channels, (y + 1) * row);
    }
    return room.at;
  }

  /** The room is free for a later layer: untouched memory costs more than the sums done in it. */
  private release(at: number): void {
    const room = this.used.get(at)!;
    this.used.delete(at);
    this.free.push(room);
    this.free.sort((a, b) => a.sizeBytes - b.sizeBytes);
  }

  private allocate(sizeBytes: number): number {
    const at = this.next;
    this.next = (at + sizeBytes + 15) & ~15;
    const missing = this.next - this.memory.buffer.byteLength;
    if (missing > 0) this.memory.grow(Math.ceil(missing / 65536));
    return at;
  }

  private place(layer: Layer): { weights: number; bias: number } {
    const blocks = layer.cout / 8;
    const weights = this.allocate(layer.weights.length * 4);
    const bias = this.allocate(layer.bias.length * 4);
    const packed = new Float32Array(this.memory.buffer, weights, layer.weights.length);
    let o = 0;
    for (let block = 0; block < blocks; block++) {
      for (let i = 0; i < 9 * layer.cin; i++) {
        for (let k = 0; k < 8; k++) packed[o++] = layer.weights[i * layer.cout + block * 8 + k]!;
      }
    }
    new Float32Array(this.memory.buffer, bias, layer.bias.length).set(layer.bias);
    return { weights, bias };
  }
}

interface Room {
  readonly at: number;
  readonly sizeBytes: number;
}

interface Layer {
  readonly cin: number;
  readonly cout: number;
  /** [row][column][input][output] */
  readonly weights: Float32Array;
  readonly bias: Float32Array;
}

/** Layers in the order in which tools/wax-map writes them: weights then bias, half floats. */
function readWeights(): Map<string, Layer> {
  const bytes = bytesOf(WAX_WEIGHTS_BASE64);
  const halves = new Uint16Array(bytes.buffer, bytes.byteOffset, bytes.byteLength / 2);
  let at = 0;
  const take = (n: number) => Float32Array.from(halves.subarray(at, (at += n)), halfFloat);
  const layers = new Map<string, Layer>();
  const add = (name: string, cin: number, cout: number, side: number) => {
    layers.set(name, { cin, cout, weights: take(side * side * cin * cout), bias: take(cout) });
  };
  let cin: number = INPUTS;
  CHANNELS.forEach((cout, level) => {
    add(`e${level}a`, cin, cout, 3);
    add(`e${level}b`, cout, cout, 3);
    cin = cout;
  });
  for (let level = CHANNELS.length - 2; level >= 0; level--) {
    add(`d${level}`, CHANNELS[level + 1]! + CHANNELS[level]!, CHANNELS[level]!, 3);
  }
  add('out', CHANNELS[0], 3, 1);
  if (at !== halves.length)
    throw new Error(`the wax map has ${halves.length} weights, expected ${at}`);
  return layers;
}

/** IEEE 754 binary16 → number. */
function halfFloat(bits: number): number {
  const sign = bits & 0x8000 ? -1 : 1;
  const exponent = (bits >> 10) & 0x1f;
  const fraction = bits & 0x3ff;
  if (exponent === 0) return sign * 2 ** -24 * fraction;
  return sign * 2 ** (exponent - 15) * (1 + fraction / 1024);
}

function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes;
}
