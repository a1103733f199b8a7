/** How much an equal tone on both sides of a joint says: more where the tone is rare (a painted line). */

const BINS = 88;
const FROM = -4;
const TO = 0.4;
const PER_UNIT = BINS / (TO - FROM);
/** Tones on both sides of one crack differ by so much (log brightness, standard deviation). */
const SAME_TONE = 0.12;
/** Share of places where the crack itself has spoiled the tone. */
const SPOILED = 0.12;

export class ToneModel {
  /** Nats for each pair of tones. */
  readonly #table = new Float32Array(BINS * BINS);

  /** @param tones of all edges, all shards */
  constructor(tones: readonly Float32Array[]) {
    const density = densityOf(tones);
    const spread = SAME_TONE * Math.SQRT2;
    for (let i = 0; i < BINS; i++) {
      for (let j = 0; j < BINS; j++) {
        const z = (i - j) / PER_UNIT / spread;
        const same = Math.exp(-0.5 * z * z) / (spread * Math.sqrt(2 * Math.PI));
        const chance = Math.sqrt(density[i]! * density[j]!);
        this.#table[i * BINS + j] = Math.log(((1 - SPOILED) * same) / chance + SPOILED);
      }
    }
  }

  /** Nats for one place where the tones of two edges are a and b. */
  agreement(a: number, b: number): number {
    return this.#table[binOf(a) * BINS + binOf(b)]!;
  }
}

/** How often each tone is met, per unit of log brightness: smoothed, and never nothing. */
function densityOf(tones: readonly Float32Array[]): Float64Array {
  const bins = new Float64Array(BINS);
  let count = 0;
  for (const list of tones) {
    for (const t of list) bins[binOf(t)]!++;
    count += list.length;
  }
  return bins.map((own, i) => {
    const before = bins[Math.max(0, i - 1)]!;
    const after = bins[Math.min(BINS - 1, i + 1)]!;
    return (((before + 2 * own + after) / 4 + 1) / (count + BINS)) * PER_UNIT;
  });
}

function binOf(t: number): number {
  const i = Math.floor((t - FROM) * PER_UNIT);
  return i < 0 ? 0 : i >= BINS ? BINS - 1 : i;
}
