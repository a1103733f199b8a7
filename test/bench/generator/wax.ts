/**
 * Wax on paper: deposited where the paper's grain stands higher than the pressure lets it escape.
 * Rims of a came take most, hollow middles less, paper beside a came bridges and stays clean, glass takes streaks.
 */
import { type CameField, REACH_MM } from './came-field.js';
import type { PanelNet } from './panel-net.js';
import type { Quality } from './quality.js';
import type { RandomStream } from './random-stream.js';
import type { Sheet } from './sheet.js';
import { SmoothNoise } from './smooth-noise.js';

export interface Wax {
  /** 0 bare .. 1 fully covered, without dust. */
  cover: Float32Array;
  /** Dust, fibres and wax crumbs lying anywhere. */
  dust: Float32Array;
}

interface Spot {
  x: number;
  y: number;
  rx: number;
  ry: number;
  turn: number;
}

export function rubWax(
  random: RandomStream,
  sheet: Sheet,
  net: PanelNet,
  field: CameField,
  quality: Quality,
): Wax {
  const { widthPx, heightPx, pxPerMm } = sheet;
  const cover = new Float32Array(widthPx * heightPx);
  const dust = new Float32Array(cover.length);
  const pressureAt = pressureField(random.branch('pressure'), net, quality);
  const grain = [0.3, 0.62, 1.4, 3.2].map(
    (cell) => new SmoothNoise(random.branch(`grain ${cell}`), cell),
  );
  const edge = [0.55, 1.6, 6].map((cell) => new SmoothNoise(random.branch(`edge ${cell}`), cell));
  const streaks = [1.1, 2.6].map((cell) => new SmoothNoise(random.branch(`streak ${cell}`), cell));
  const glassPatch = new SmoothNoise(random.branch('glass'), 26);
  const grit = new SmoothNoise(random.branch('grit'), 0.42);
  const gritDensity = new SmoothNoise(random.branch('grit density'), 30);
  const pixel = random.branch('pixel');
  const strokeAngle = random.between(0, Math.PI);
  const ca = Math.cos(strokeAngle);
  const sa = Math.sin(strokeAngle);
  // Some cames stand lower than their neighbours, wide ones are hollow in the middle.
  const leadPressure = net.graph.leads.map(() => Math.min(1.1, 1 + 0.1 * random.normal()));
  const hollow = net.graph.leads.map((e) => {
    const share = Math.max(0, (e.widthMm >= 8 ? 0.34 : 0.12) + 0.16 * random.normal());
    // Solder over foil stands up round.
    return e.kind === 'foil' ? 0 : share;
  });
  const glassCover = random.between(...quality.glassCoverage);
  const haloMm = random.between(1.6, 3);
  for (let y = 0; y < heightPx; y++) {
    const ym = (y + 0.5) / pxPerMm + sheet.topMm;
    for (let x = 0; x < widthPx; x++) {
      const i = y * widthPx + x;
      const xm = (x + 0.5) / pxPerMm + sheet.leftMm;
      const white = pixel.unit() - 0.5;
      const g0 = grit.at(xm, ym) + 0.7 * white;
      dust[i] = g0 > 2.3 - 0.16 * gritDensity.at(xm, ym) ? 0.3 + 0.65 * pixel.unit() : 0;
      let depth = field.depthMm[i]!;
      if (depth > -3) {
        depth +=
          quality.edgeRoughMm *
          (0.55 * edge[0]!.at(xm, ym) + 0.7 * edge[1]!.at(xm, ym) + 0.4 * edge[2]!.at(xm, ym));
      }
      const pressure = pressureAt(xm, ym);
      if (pressure < 0.012) continue;
      let contact: number;
      const u = xm * ca + ym * sa;
      const v = -xm * sa + ym * ca;
      const streak = 0.6 * streaks[0]!.at(u * 0.16, v) + 0.6 * streaks[1]!.at(u * 0.2, v);
      if (depth > -0.1) {
        const l = field.lead[i]! - 1;
        const rim = depth < 0.95 ? 1 : Math.max(0, 1 - (depth - 0.95) / 0.5);
        const inner = Math.min(0.86, pressure * (leadPressure[l] ?? 1) * (1 - (hollow[l] ?? 0)));
        // The rim takes wax even under a light hand.
        const edgePressure = Math.min(1.05, 1.35 * pressure + 0.22 * Math.min(1, pressure / 0.15));
        const onset = Math.max(0, Math.min(1, (depth + 0.09) / 0.28));
        contact =
          onset * (inner + (Math.max(inner, edgePressure) - inner) * rim) * (1 + 0.07 * streak);
      } else {
        const away = -depth;
        const sag = away <= haloMm ? 0 : Math.min(1, (away - haloMm) / (REACH_MM - 1 - haloMm));
        const onPanel =
          xm > -6 && ym > -6 && xm < net.sizeMm[0] + 6 && ym < net.sizeMm[1] + 6 ? 1 : 0.12;
        contact =
          onPanel *
          glassCover *
          sag *
          pressure *
          (1.1 + 0.55 * glassPatch.at(xm, ym)) *
          Math.max(0.1, 1 + 0.75 * streak);
      }
      if (contact <= 0.004) continue;
      const z =
        0.62 * grain[0]!.at(xm, ym) +
        0.62 * grain[1]!.at(xm, ym) +
        0.4 * grain[2]!.at(xm, ym) +
        0.26 * grain[3]!.at(xm, ym) +
        0.5 * white;
      const threshold = 1 / (1 + Math.exp(-1.702 * z));
      const over = (contact - threshold) / 0.16 + 0.5;
      cover[i] = over <= 0 ? 0 : over >= 1 ? 1 : over;
    }
  }
  smear(random.branch('smear'), sheet, net, quality, cover, ca, sa);
  return { cover, dust };
}

/** Pressure of the hand: wanders over the sheet, weak areas, bare spots with soft edges. */
function pressureField(
  random: RandomStream,
  net: PanelNet,
  quality: Quality,
): (x: number, y: number) => number {
  const slow = new SmoothNoise(random.branch('slow'), random.between(90, 150));
  const middle = new SmoothNoise(random.branch('middle'), 30);
  const quick = new SmoothNoise(random.branch('quick'), 9);
  const spotEdge = new SmoothNoise(random.branch('spot edge'), 7);
  const [w, h] = net.sizeMm;
  const spot = (low: number, high: number): Spot => ({
    x: random.between(0.05, 0.95) * w,
    y: random.between(0.05, 0.95) * h,
    rx: random.between(low, high),
    ry: random.between(low, high),
    turn: random.between(0, Math.PI),
  });
  const bare = Array.from({ length: random.whole(...quality.bareSpots) }, () => spot(5, 10));
  const weak = Array.from({ length: random.whole(...quality.weakAreas) }, () => spot(28, 75));
  return (x, y) => {
    let p =
      quality.pressure +
      quality.pressureSpread * (0.8 * slow.at(x, y) + 0.35 * middle.at(x, y)) +
      0.1 * quick.at(x, y);
    p = p < 0.16 ? 0.16 * Math.exp((p - 0.16) / 0.16) : p;
    for (const s of weak) p *= 1 - 0.9 * insideSpot(s, x, y, 0.55, spotEdge);
    for (const s of bare) p *= 1 - insideSpot(s, x, y, 0.2, spotEdge);
    return Math.min(p, 1.02);
  };
}

/** 1 in the middle of a spot, 0 outside; soft is the share of the radius over which it fades. */
function insideSpot(s: Spot, x: number, y: number, soft: number, rough: SmoothNoise): number {
  const dx = x - s.x;
  const dy = y - s.y;
  const c = Math.cos(s.turn);
  const q = Math.sin(s.turn);
  const r = Math.hypot((dx * c + dy * q) / s.rx, (-dx * q + dy * c) / s.ry);
  if (r > 1.3) return 0;
  const t = (1 + 0.08 * rough.at(x, y) - r) / soft;
  return t <= 0 ? 0 : t >= 1 ? 1 : t * t * (3 - 2 * t);
}

/** Wax dragged along the stroke in a few areas. */
function smear(
  random: RandomStream,
  sheet: Sheet,
  net: PanelNet,
  quality: Quality,
  cover: Float32Array,
  ca: number,
  sa: number,
): void {
  const count = random.whole(...quality.smears);
  const flat = new SmoothNoise(random.branch('rough'), 9);
  for (let k = 0; k < count; k++) {
    const rx = random.between(20, 55);
    const s: Spot = {
      x: random.between(0.1, 0.9) * net.sizeMm[0],
      y: random.between(0.1, 0.9) * net.sizeMm[1],
      rx,
      ry: rx * random.between(0.4, 0.9),
      turn: Math.atan2(sa, ca),
    };
    const drag = Math.round(random.between(0.8, 2.4) * sheet.pxPerMm);
    const weight = random.between(0.3, 0.55);
    const dx = random.chance(0.5) ? 1 : -1;
    const before = cover.slice();
    for (let y = 0; y < sheet.heightPx; y++) {
      const ym = (y + 0.5) / sheet.pxPerMm + sheet.topMm;
      if (Math.abs(ym - s.y) > 1.4 * s.rx) continue;
      for (let x = 0; x < sheet.widthPx; x++) {
        const xm = (x + 0.5) / sheet.pxPerMm + sheet.leftMm;
        const share = weight * insideSpot(s, xm, ym, 0.5, flat);
        if (share <= 0) continue;
        let most = 0;
        for (let d = 1; d <= drag; d++) {
          const fx = Math.round(x - dx * ca * d);
          const fy = Math.round(y - dx * sa * d);
          if (fx < 0 || fy < 0 || fx >= sheet.widthPx || fy >= sheet.heightPx) break;
          most += before[fy * sheet.widthPx + fx]!;
        }
        const i = y * sheet.widthPx + x;
        cover[i] = Math.min(1, before[i]! * (1 - share * 0.25) + share * (most / drag));
      }
    }
  }
}
