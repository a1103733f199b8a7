/**
 * Copper-foil joints and other narrow faces. The wax map was trained on faces from 4 mm up and loses much of what is
 * narrower; looked at enlarged, a joint of 3 mm is to it a came of 5.3 mm. What is wide already it knows from the sheet as
 * it is, so both maps are laid together: the enlarged one everywhere but on wide faces.
 */
import { bilinear, makePlane, type Plane, squaredDistance } from '#libs/raster';
import type { LeadEvidence } from './evidence-planes.js';

/** Enlarged so that the narrow faces come to this width (mm), which the map knows well. */
const WELL_KNOWN_MM = 5.3;
/** A face narrower than this (mm) is one that the map may lose. */
const NARROW_MM = 4.6;
/** Narrower ones are lost at any scale: the paper bridges them. */
const LEAST_MM = 2.6;
/** So much of the leads' length must be narrow; nine rubbings of foil had 0.48-0.72, nineteen others at most 0.09. */
const NARROW_SHARE = 0.2;
/** Faces wider than this (mm) are taken from the sheet as it is, and what lies so near beside them. */
const WIDE_MM = 5.6;
const BESIDE_MM = 1.5;
const IS_FACE = 0.5;

/**
 * By how much to enlarge the sheet; undefined where the map of the sheet as it is shows few narrow faces. Judged by the
 * widths along the ridges of its centre lines.
 */
export function enlargement(evidence: LeadEvidence): number | undefined {
  const { face, centre, outside, cellsPerMm } = evidence;
  const { width, height } = face;
  const depth = depthInFace(face);
  const c = centre.data;
  const narrowMm: number[] = [];
  let all = 0;
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      const here = c[i]!;
      if (here < 0.5 || outside.data[i]! > 0.3) continue;
      const isRidge =
        (here >= c[i - 1]! && here >= c[i + 1]!) ||
        (here >= c[i - width]! && here >= c[i + width]!);
      if (!isRidge) continue;
      all++;
      const widthMm = (2 * Math.sqrt(depth[i]!)) / cellsPerMm;
      if (widthMm < NARROW_MM) narrowMm.push(widthMm);
    }
  }
  if (narrowMm.length <= NARROW_SHARE * all) return undefined;
  narrowMm.sort((a, b) => a - b);
  return WELL_KNOWN_MM / Math.max(LEAST_MM, narrowMm[narrowMm.length >> 1]!);
}

/** Both maps in the cells of the enlarged one. */
export function joinedEvidence(plain: LeadEvidence, enlarged: LeadEvidence): LeadEvidence {
  const { width, height } = enlarged.face;
  const wide = wideFaces(plain);
  const out = {
    face: makePlane(width, height),
    centre: makePlane(width, height),
    outside: makePlane(width, height),
  };
  const scale = plain.cellsPerMm / enlarged.cellsPerMm;
  const [left, top] = [0, 1].map(
    (k) => (enlarged.originMm[k]! - plain.originMm[k]!) * plain.cellsPerMm,
  ) as [number, number];
  for (let y = 0; y < height; y++) {
    const v = top + y * scale;
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const u = left + x * scale;
      const share = bilinear(wide, u, v);
      const mixed = (of: 'face' | 'centre'): number =>
        share * bilinear(plain[of], u, v) + (1 - share) * enlarged[of].data[i]!;
      out.face.data[i] = mixed('face');
      out.centre.data[i] = mixed('centre');
      out.outside.data[i] = bilinear(plain.outside, u, v);
    }
  }
  return { ...enlarged, ...out };
}

/** 1 on and closely beside faces wider than `WIDE_MM`, 0 elsewhere. */
function wideFaces({ face, cellsPerMm }: LeadEvidence): Plane {
  const depth = depthInFace(face);
  const least = ((WIDE_MM * cellsPerMm) / 2) ** 2;
  const core = Uint8Array.from(depth, (d) => (d >= least ? 1 : 0));
  const off = squaredDistance(core, face.width, face.height);
  const reach = ((WIDE_MM / 2 + BESIDE_MM) * cellsPerMm) ** 2;
  const out = makePlane(face.width, face.height);
  for (let i = 0; i < off.length; i++) out.data[i] = off[i]! <= reach ? 1 : 0;
  return out;
}

/** Squared distance to the nearest cell that is no face, cells. */
function depthInFace({ data, width, height }: Plane): Float32Array {
  const isOff = new Uint8Array(data.length);
  for (let i = 0; i < isOff.length; i++) isOff[i] = data[i]! < IS_FACE ? 1 : 0;
  return squaredDistance(isOff, width, height);
}
