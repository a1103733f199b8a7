import { LEAD_NETWORK_DATA, LEAD_NETWORK_LAYERS } from './lead-network-data.js';
import type { ConvWeights } from './tensor.js';

let decoded: readonly ConvWeights[] | undefined;

/** The layers in the order the network uses them, decoded once: 16-bit whole numbers times one scale a layer. */
export function decodeWeights(): readonly ConvWeights[] {
  if (decoded) return decoded;
  const bytes = fromBase64(LEAD_NETWORK_DATA);
  const view = new DataView(bytes.buffer);
  let at = 0;
  const read = (count: number, scale: number): Float64Array => {
    const out = new Float64Array(count);
    for (let i = 0; i < count; i++, at += 2) out[i] = view.getInt16(at, true) * scale;
    return out;
  };
  decoded = LEAD_NETWORK_LAYERS.map(([inputs, outputs, size, kernelScale, biasScale]) => ({
    inputs,
    outputs,
    kernel: read(inputs * outputs * size * size, kernelScale),
    bias: read(outputs, biasScale),
  }));
  if (at !== bytes.length) {
    throw new Error(`lead network: ${bytes.length} bytes of weights, the layers need ${at}`);
  }
  return decoded;
}

/** RFC 4648 section 4; the alphabet is spelled out because a pure library has no decoder at hand. */
function fromBase64(text: string): Uint8Array {
  const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
  const value = new Int16Array(128).fill(-1);
  for (let i = 0; i < 64; i++) value[alphabet.charCodeAt(i)] = i;
  const length = text.replace(/=+$/, '').length;
  const out = new Uint8Array(Math.floor((length * 3) / 4));
  let bits = 0;
  let held = 0;
  let o = 0;
  for (let i = 0; i < length; i++) {
    held = (held << 6) | value[text.charCodeAt(i)]!;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      out[o++] = (held >> bits) & 255;
      held &= (1 << bits) - 1;
    }
  }
  return out;
}
