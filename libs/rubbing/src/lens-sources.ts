/** Where the lens distortion of a picture can be known from, and how well. */
import type { LensPrior } from './mark-bundle.js';
import { lensFromOuterCames, lensFromPaperEdges } from './paper-edges.js';
import type { RubbingImage } from './sheet.js';

export interface LensSource extends LensPrior {
  readonly said: string;
}

/**
 * Spread of k1 among phones whose picture says nothing of it: 0.01 at the corner of a 600 mm sheet moves mid-sheet by half
 * a millimetre. From memory, no source.
 */
export const UNKNOWN_LENS: LensSource = { k1: 0, sigma: 0.012, said: 'nothing' };
/** Four edges straight to 0.35 px gave k1 within 0.0011 on 18 generated rubbings, 0.0005 in the mean square. */
const EDGE_SIGMA = 0.0005;
const EDGE_RESIDUAL_PX = 0.35;
/**
 * Cames bow by a millimetre: on 14 generated rubbings k1 by cames was off by 0.013 in the mean square, 1.3 times what their
 * disagreement foretold, which is no better than knowing nothing. So only a bend far beyond that is believed.
 */
const CAME_SIGMA = 0.004;
const CAME_TRUST = 1.3;
const CAME_BEYOND = 2.5;
/** The same phone focused nearer or farther bends a little differently; common practice, no source. */
const REFOCUS_SIGMA = 0.0015;

/** The paper's straight edges outside a quadrilateral of marks, where they are seen. @param quad flat pixels in order round */
export function paperEdgeSource(
  image: RubbingImage,
  quad: Float64Array,
  k2: number,
): LensSource | undefined {
  const found = lensFromPaperEdges(image, quad, k2);
  if (!found) return undefined;
  const sigma =
    EDGE_SIGMA * Math.max(1, found.residualPx / EDGE_RESIDUAL_PX) * Math.sqrt(4 / found.edges);
  return {
    k1: found.lens.k1,
    sigma: found.edges < 3 ? 2 * sigma : sigma,
    said: `${found.edges} straight paper edges, ${found.residualPx.toFixed(2)} px`,
  };
}

/** The outer cames, where no edge of the paper is seen: believed when all bend together, more than panels bow. */
export function outerCameSource(
  image: RubbingImage,
  quad: Float64Array,
  k2: number,
): LensSource | undefined {
  const found = lensFromOuterCames(image, quad, k2);
  if (!found || found.edges < 3) return undefined;
  const sigma = Math.max(CAME_SIGMA, CAME_TRUST * found.disagreement);
  if (Math.abs(found.lens.k1) < CAME_BEYOND * sigma) return undefined;
  return {
    k1: found.lens.k1,
    sigma,
    said: `${found.edges} outer cames that bend together, though panels bow by themselves`,
  };
}

export function calibrationSource(image: RubbingImage): LensSource | undefined {
  if (!image.lens) return undefined;
  const { k1, sigmaK1 = 0, source } = image.lens;
  return { k1, sigma: Math.hypot(sigmaK1, REFOCUS_SIGMA), said: source };
}

/**
 * The four of the points that span most, in order round them: the sheet's edges lie outside its sides.
 * @param px flat, four points or more
 */
export function outerQuad(px: Float64Array): Float64Array | undefined {
  const n = px.length / 2;
  if (n === 4) return inOrderRound(px, [0, 1, 2, 3]);
  const hull = hullOf(px);
  if (hull.length < 4) return undefined;
  let best: number[] = hull.slice(0, 4);
  let most = -1;
  for (let a = 0; a < hull.length; a++) {
    for (let b = a + 1; b < hull.length; b++) {
      for (let c = b + 1; c < hull.length; c++) {
        for (let d = c + 1; d < hull.length; d++) {
          const four = [hull[a]!, hull[b]!, hull[c]!, hull[d]!];
          const area = areaOf(px, four);
          if (area > most) {
            most = area;
            best = four;
          }
        }
      }
    }
  }
  return inOrderRound(px, best);
}

function inOrderRound(px: Float64Array, four: readonly number[]): Float64Array {
  const cx = four.reduce((s, k) => s + px[2 * k]!, 0) / four.length;
  const cy = four.reduce((s, k) => s + px[2 * k + 1]!, 0) / four.length;
  const angle = (k: number): number => Math.atan2(px[2 * k + 1]! - cy, px[2 * k]! - cx);
  const sorted = [...four].sort((a, b) => angle(a) - angle(b));
  return Float64Array.from(sorted.flatMap((k) => [px[2 * k]!, px[2 * k + 1]!]));
}

function areaOf(px: Float64Array, ring: readonly number[]): number {
  let twice = 0;
  ring.forEach((k, i) => {
    const j = ring[(i + 1) % ring.length]!;
    twice += px[2 * k]! * px[2 * j + 1]! - px[2 * j]! * px[2 * k + 1]!;
  });
  return Math.abs(twice / 2);
}

/** Indices of the convex hull, by Andrew's monotone chain. */
function hullOf(px: Float64Array): number[] {
  const order = Array.from({ length: px.length / 2 }, (_, k) => k).sort(
    (a, b) => px[2 * a]! - px[2 * b]! || px[2 * a + 1]! - px[2 * b + 1]!,
  );
  const side = (list: readonly number[]): number[] => {
    const out: number[] = [];
    for (const k of list) {
      while (out.length >= 2) {
        const [a, b] = [out.at(-2)!, out.at(-1)!];
        const turn =
          (px[2 * b]! - px[2 * a]!) * (px[2 * k + 1]! - px[2 * a + 1]!) -
          (px[2 * b + 1]! - px[2 * a + 1]!) * (px[2 * k]! - px[2 * a]!);
        if (turn > 0) break;
        out.pop();
      }
      out.push(k);
    }
    return out.slice(0, -1);
  };
  return [...side(order), ...side([...order].reverse())];
}
