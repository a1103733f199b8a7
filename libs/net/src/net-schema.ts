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
  leafEdgeMm: mm.positive().max(10).optional(),
  heartHeightMm: mm.positive().max(40),
  heartMm: mm.positive().max(10),
});

export const netSchema = z.strictObject({
  format: z.literal('mullion-net/1'),
  face: z
    .enum(['inside', 'outside'])
    .describe(
      'the face of the panel that was taken; coordinates are as seen from inside either way',
    ),
  layer: z
    .enum(['front', 'back'])
    .describe('back: the second glass of a plated panel, in the same frame'),
  surface: z
    .enum(['developed', 'plan'])
    .describe('developed: lengths follow the surface of a bulged panel, as a rubbing does'),
  heartMm: mm.min(0).describe('thickness of the heart where no profile was gauged'),
  clearanceMm: mm.min(0).describe('air between the edge of the glass and the heart, each side'),
  profiles: z
    .array(profileSchema)
    .optional()
    .describe('sections gauged at cut ends, named by profile of a lead'),
  joints: z.array(
    z.strictObject({
      jointId: z.string().regex(/^J[1-9][0-9]*$/),
      xyMm,
      degree: z.int().min(1).describe('leads that end here: 1 an open end, 2 a bend'),
    }),
  ),
  leads: z.array(
    z.strictObject({
      leadId: z.string().regex(/^L[1-9][0-9]*$/),
      fromJointId: z.string(),
      toJointId: z.string(),
      kind: z
        .enum(['came', 'outer', 'mending', 'strap', 'foil', 'broken'])
        .describe(
          'outer: round the edge; mending: in a break, the piece is two; strap: over a crack on one face, the piece stays one; foil: copper foil and solder; broken: may end in the glass',
        ),
      lineMm: line.describe('centre line from joint to joint'),
      curve: z
        .array(curvePart)
        .min(1)
        .optional()
        .describe(
          'the same line as lines, arcs and cubic Béziers, each from the end of the one before, within 0.15 mm',
        ),
      faceWidthMm: mm.positive().describe('over the leaf, as measured'),
      widthSpreadMm: mm.min(0).describe('half the 16-84 percentile range along the lead'),
      widthClassMm: mm.positive().describe('of the class that it was put into'),
      widthClassP: p.describe('probability that it belongs there'),
      profile: z
        .string()
        .nullable()
        .describe('from a gauge reading at a cut end; a rubbing never tells it'),
      confidenceP: p.describe('probability that the lead is there and runs as drawn'),
      doubts: z.array(doubt),
      leftPieceId: z
        .string()
        .nullable()
        .describe('on the left of the direction of travel; null: outside the panel'),
      rightPieceId: z.string().nullable(),
    }),
  ),
  pieces: z.array(
    z.strictObject({
      pieceId: z.string().regex(/^[1-9][0-9]*[a-z]{0,2}$/),
      number: z.int().min(1),
      part: z.string().nullable(),
      centreRingMm: ring.describe('along the centre lines of the leads'),
      holeRingsMm: z
        .array(ring)
        .optional()
        .describe('round leads inside the piece that touch nothing else'),
      sightRingsMm: z.array(ring).describe('glass seen between the leads'),
      cutRingMm: z.array(xyMm).describe('glass as cut, into the heart; empty: nothing is left'),
      areaMm2: z.number().positive().describe('inside the centre lines'),
      sightAreaMm2: z.number().min(0),
      leadIds: z.array(z.string()),
      labelMm: xyMm.describe('where to write the number'),
      labelRadiusMm: mm.min(0),
    }),
  ),
  outlineMm: ring.describe('over the outer leads'),
  widthClasses: z.array(
    z.strictObject({
      widthMm: mm.positive(),
      lengthMm: mm.min(0),
      leads: z.int().min(1),
      kind: z.literal('foil').optional().describe('a class of copper foil; came has no kind here'),
    }),
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
