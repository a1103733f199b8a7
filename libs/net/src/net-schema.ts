/** The stored form of a net, format `mullion-net/1`. */
import { z } from 'zod';
import { flattenReportSchema } from './flatten-report.js';

const mm = z.number();
const xyMm = z.tuple([mm, mm]).describe('[x, y] in panel millimetres, x right, y down');
const line = z.array(xyMm).min(2);
const ring = z.array(xyMm).min(3);
const p = z.number().min(0).max(1);

const doubt = z.enum([
  'gap-bridged',
  'weak-wax',
  'width-uneven',
  'runs-disagree',
  'junction-unclear',
  'may-be-missing',
]);

const curvePart = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('line'), toMm: xyMm }),
  z.strictObject({ kind: z.literal('arc'), toMm: xyMm, centreMm: xyMm, clockwise: z.boolean() }),
  z.strictObject({ kind: z.literal('cubic'), c1Mm: xyMm, c2Mm: xyMm, toMm: xyMm }),
]);

export const profileSchema = z.strictObject({
  name: z.string().min(1).max(60),
  shape: z.enum(['H', 'U']),
  leaf: z.enum(['flat', 'round']),
  faceMm: mm.positive().max(60),
  leafMm: mm.positive().max(10),
  heartHeightMm: mm.positive().max(40),
  heartMm: mm.positive().max(10),
});

export const netSchema = z.strictObject({
  format: z.literal('mullion-net/1'),
  face: z.enum(['inside', 'outside']),
  layer: z.enum(['front', 'back']),
  surface: z.enum(['developed', 'plan']),
  heartMm: mm.min(0),
  clearanceMm: mm.min(0),
  profiles: z.array(profileSchema).optional(),
  joints: z.array(
    z.strictObject({
      jointId: z.string().regex(/^J[1-9][0-9]*$/),
      xyMm,
      degree: z.int().min(1),
    }),
  ),
  leads: z.array(
    z.strictObject({
      leadId: z.string().regex(/^L[1-9][0-9]*$/),
      fromJointId: z.string(),
      toJointId: z.string(),
      kind: z.enum(['came', 'outer', 'mending', 'strap', 'foil', 'broken']),
      lineMm: line,
      curve: z.array(curvePart).min(1).optional(),
      faceWidthMm: mm.positive(),
      widthSpreadMm: mm.min(0),
      widthClassMm: mm.positive(),
      widthClassP: p,
      profile: z.string().nullable(),
      confidenceP: p,
      doubts: z.array(doubt),
      leftPieceId: z.string().nullable(),
      rightPieceId: z.string().nullable(),
    }),
  ),
  pieces: z.array(
    z.strictObject({
      pieceId: z.string().regex(/^[1-9][0-9]*[a-z]{0,2}$/),
      number: z.int().min(1),
      part: z.string().nullable(),
      centreRingMm: ring,
      holeRingsMm: z.array(ring).optional(),
      sightRingsMm: z.array(ring),
      cutRingMm: z.array(xyMm),
      areaMm2: z.number().positive(),
      sightAreaMm2: z.number().min(0),
      leadIds: z.array(z.string()),
      labelMm: xyMm,
      labelRadiusMm: mm.min(0),
    }),
  ),
  outlineMm: ring,
  widthClasses: z.array(
    z.strictObject({ widthMm: mm.positive(), lengthMm: mm.min(0), leads: z.int().min(1) }),
  ),
  doubtfulPlaces: z.array(
    z.strictObject({
      xyMm,
      radiusMm: mm.min(0),
      reason: doubt,
      leadId: z.string().nullable(),
    }),
  ),
  flatten: flattenReportSchema.nullable(),
  madeBy: z.strictObject({ name: z.string(), version: z.string() }),
});
