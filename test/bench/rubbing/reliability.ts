/** How sure the program is of its leads, against how many of them are right: lines of text, and a drawing. */
import { BIN_EDGES } from '../score/score-doubts.js';
import type { NamedOutcome } from './bars.js';

interface Bin {
  from: number;
  to: number;
  leads: number;
  right: number;
}

export function reliabilityBins(outcomes: readonly NamedOutcome[]): Bin[] {
  return BIN_EDGES.map((from, b) => {
    const bins = outcomes.map((o) => o.doubts.bins[b]!);
    return {
      from,
      to: BIN_EDGES[b + 1] ?? 1,
      leads: bins.reduce((s, bin) => s + bin.leads, 0),
      right: bins.reduce((s, bin) => s + bin.right, 0),
    };
  });
}

export function reliabilityLines(bins: readonly Bin[]): string[] {
  return bins.map(({ from, to, leads, right }) => {
    const share = leads > 0 ? right / leads : undefined;
    const bar = share === undefined ? '' : '█'.repeat(Math.round(share * 40));
    const text = share === undefined ? '    -' : `${(100 * share).toFixed(1).padStart(5)} %`;
    return `  sure ${from.toFixed(2)} to ${to.toFixed(2)}  ${String(leads).padStart(5)} leads  ${text} right  ${bar}`;
  });
}

const SIDE = 240;
const EDGE = 36;

/** Stated probability to the right, share that is right upwards; the diagonal is perfect honesty. */
export function reliabilitySvg(bins: readonly Bin[]): string {
  const at = (x: number, y: number): string =>
    `${(EDGE + x * SIDE).toFixed(1)} ${(EDGE + (1 - y) * SIDE).toFixed(1)}`;
  const most = Math.max(...bins.map((b) => b.leads), 1);
  const bars = bins
    .filter((b) => b.leads > 0)
    .map(({ from, to, leads, right }) => {
      const share = right / leads;
      return `<path d="M${at(from, 0)}L${at(from, share)}L${at(to, share)}L${at(to, 0)}Z" fill="#35506b" fill-opacity="${(0.35 + (0.65 * leads) / most).toFixed(2)}"><title>${leads} leads, ${(100 * share).toFixed(1)} % right</title></path>`;
    });
  const whole = SIDE + 2 * EDGE;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${whole} ${whole}" width="${whole}" height="${whole}" font-family="sans-serif" font-size="11">
<title>Leads by how sure the program is of them, and how many are right</title>
<rect width="100%" height="100%" fill="#fff"/>
${bars.join('\n')}
<path d="M${at(0, 0)}L${at(1, 1)}" stroke="#a33" stroke-dasharray="4 3" fill="none"/>
<path d="M${at(0, 1)}L${at(0, 0)}L${at(1, 0)}" stroke="#222" fill="none"/>
<text x="${EDGE + SIDE / 2}" y="${whole - 8}" text-anchor="middle">how sure the program is</text>
<text transform="translate(14 ${EDGE + SIDE / 2}) rotate(-90)" text-anchor="middle">share that is right</text>
</svg>
`;
}
