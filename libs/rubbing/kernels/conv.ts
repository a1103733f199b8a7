// AssemblyScript (built by tools/build-kernels.mjs, not by tsc): the convolutions of the wax map.
//
// Layout: pixels row by row, channels innermost, float32. A buffer of w × h pixels has a border of one
// zero pixel all round, so it holds (w + 2)(h + 2) pixels and no edge needs a test. Weights are packed
// [block of 8 outputs][3 rows][3 columns][inputs][8].

/** 3 × 3 convolution, bias, then max(0, ·). `cout` is a multiple of 8. */
export function conv3x3(
  input: usize,
  w: i32,
  h: i32,
  cin: i32,
  weights: usize,
  bias: usize,
  output: usize,
  cout: i32,
): void {
  const px = <usize>cin << 2;
  const inRow = <usize>(w + 2) * px;
  const outPx = <usize>cout << 2;
  const outRow = <usize>(w + 2) * outPx;
  const blockBytes = <usize>(9 * cin * 32);
  const zero = f32x4.splat(0);
  for (let y = 0; y < h; y++) {
    for (let block = 0; block < cout / 8; block++) {
      const wBlock = weights + <usize>block * blockBytes;
      const b0 = v128.load(bias + (<usize>block << 5));
      const b1 = v128.load(bias + (<usize>block << 5), 16);
      let x = 0;
      for (; x + 4 <= w; x += 4) {
        let p0 = b0, p1 = b1, q0 = b0, q1 = b1, r0 = b0, r1 = b1, s0 = b0, s1 = b1;
        let wp = wBlock;
        for (let ky = 0; ky < 3; ky++) {
          let ip = input + <usize>(y + ky) * inRow + <usize>x * px;
          for (let kx = 0; kx < 3; kx++) {
            const end = ip + px;
            for (let i = ip; i < end; i += 4) {
              const w0 = v128.load(wp);
              const w1 = v128.load(wp, 16);
              wp += 32;
              const a = v128.load32_splat(i);
              p0 = f32x4.add(p0, f32x4.mul(a, w0));
              p1 = f32x4.add(p1, f32x4.mul(a, w1));
              const b = v128.load32_splat(i + px);
              q0 = f32x4.add(q0, f32x4.mul(b, w0));
              q1 = f32x4.add(q1, f32x4.mul(b, w1));
              const c = v128.load32_splat(i + 2 * px);
              r0 = f32x4.add(r0, f32x4.mul(c, w0));
              r1 = f32x4.add(r1, f32x4.mul(c, w1));
              const d = v128.load32_splat(i + 3 * px);
              s0 = f32x4.add(s0, f32x4.mul(d, w0));
              s1 = f32x4.add(s1, f32x4.mul(d, w1));
            }
            ip = end;
          }
        }
        const o = output + <usize>(y + 1) * outRow + <usize>(x + 1) * outPx + (<usize>block << 5);
        v128.store(o, f32x4.max(p0, zero));
        v128.store(o, f32x4.max(p1, zero), 16);
        v128.store(o + outPx, f32x4.max(q0, zero));
        v128.store(o + outPx, f32x4.max(q1, zero), 16);
        v128.store(o + 2 * outPx, f32x4.max(r0, zero));
        v128.store(o + 2 * outPx, f32x4.max(r1, zero), 16);
        v128.store(o + 3 * outPx, f32x4.max(s0, zero));
        v128.store(o + 3 * outPx, f32x4.max(s1, zero), 16);
      }
      for (; x < w; x++) {
        let p0 = b0, p1 = b1;
        let wp = wBlock;
        for (let ky = 0; ky < 3; ky++) {
          const ip = input + <usize>(y + ky) * inRow + <usize>x * px;
          const end = ip + 3 * px;
          for (let i = ip; i < end; i += 4) {
            const a = v128.load32_splat(i);
            p0 = f32x4.add(p0, f32x4.mul(a, v128.load(wp)));
            p1 = f32x4.add(p1, f32x4.mul(a, v128.load(wp, 16)));
            wp += 32;
          }
        }
        const o = output + <usize>(y + 1) * outRow + <usize>(x + 1) * outPx + (<usize>block << 5);
        v128.store(o, f32x4.max(p0, zero));
        v128.store(o, f32x4.max(p1, zero), 16);
      }
    }
  }
}

/** Largest of each 2 × 2 block; w and h are those of the input, both even; c a multiple of 4. */
export function pool2(input: usize, w: i32, h: i32, c: i32, output: usize): void {
  const px = <usize>c << 2;
  const inRow = <usize>(w + 2) * px;
  const outRow = <usize>(w / 2 + 2) * px;
  for (let y = 0; y < h / 2; y++) {
    for (let x = 0; x < w / 2; x++) {
      const i = input + <usize>(2 * y + 1) * inRow + <usize>(2 * x + 1) * px;
      const o = output + <usize>(y + 1) * outRow + <usize>(x + 1) * px;
      for (let k: usize = 0; k < px; k += 16) {
        const top = f32x4.max(v128.load(i + k), v128.load(i + px + k));
        const low = f32x4.max(v128.load(i + inRow + k), v128.load(i + inRow + px + k));
        v128.store(o + k, f32x4.max(top, low));
      }
    }
  }
}

/** Joins `low` (half size, each pixel doubled) and `skip` (w × h) into w × h with all channels, multiples of 4. */
export function upJoin(low: usize, lowC: i32, skip: usize, skipC: i32, w: i32, h: i32, output: usize): void {
  const a = <usize>lowC << 2;
  const b = <usize>skipC << 2;
  const lowRow = <usize>(w / 2 + 2) * a;
  const skipRow = <usize>(w + 2) * b;
  const outRow = <usize>(w + 2) * (a + b);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const o = output + <usize>(y + 1) * outRow + <usize>(x + 1) * (a + b);
      const l = low + <usize>(y / 2 + 1) * lowRow + <usize>(x / 2 + 1) * a;
      for (let k: usize = 0; k < a; k += 16) v128.store(o + k, v128.load(l + k));
      const s = skip + <usize>(y + 1) * skipRow + <usize>(x + 1) * b;
      for (let k: usize = 0; k < b; k += 16) v128.store(o + a + k, v128.load(s + k));
    }
  }
}
