/** Shapes of a tray of shards: asked for, proposed, kept. */
import { z } from 'zod';
import { idSchema } from '../shapes.js';

/** More than lie on one bench; every pair is compared. */
export const SHARDS_MAX = 120;

const farMm = z.number().min(-100_000).max(100_000);
const pointMm = z.tuple([farMm, farMm]);

export const shardMarkSchema = z
  .string()
  .min(3)
  .max(12)
  .describe('mark of a shard in its panel: 17s3');

export const poseSchema = z
  .strictObject({
    side: z
      .union([z.literal(0), z.literal(1)])
      .describe('0: the face that was photographed; 1: turned over, the picture mirrored at x = 0'),
    angleRad: z.number().min(-10).max(10),
    xMm: farMm,
    yMm: farMm,
  })
  .describe('takes millimetres of the shard’s picture into the panel’s frame: turn, then shift');

export const shardPictureSchema = z.strictObject({
  shard: shardMarkSchema,
  mediaId: idSchema.describe('one shard on a light box, described with the shard’s mark'),
  pxPerMm: z.number().min(1).max(400).describe('pixels of the upright picture in a millimetre'),
});

export const lockedSchema = z.strictObject({ shard: shardMarkSchema, pose: poseSchema });
export const apartSchema = z
  .tuple([shardMarkSchema, shardMarkSchema])
  .describe('two shards that do not touch, as a person said');

export const jointSchema = z.strictObject({
  a: shardMarkSchema,
  b: shardMarkSchema,
  lengthMm: z.number().min(0),
  linesMm: z.array(z.array(pointMm).max(5000)).max(200),
});

export const missingSchema = z.strictObject({
  ringsMm: z.array(z.array(pointMm).max(20_000)).min(1).max(500).describe('outer ring, then holes'),
  areaMm2: z.number().min(0),
});

const shareSchema = z.number().min(0).max(1).nullable();

/** What the worker found; kept as an object. */
export const proposalSchema = z.strictObject({
  outlineMm: z.array(pointMm).min(3),
  gapMm: z.number().min(0).max(5).describe('how far the joints stay open'),
  isInOutline: z
    .boolean()
    .describe('false: how the shards lie in the outline is for a person to say'),
  coverageRatio: shareSchema,
  shards: z
    .array(
      z.strictObject({
        shard: shardMarkSchema,
        areaMm2: z.number().min(0),
        ringMm: z.array(farMm).min(6).max(40_000).describe('x, y, x, y, …, mm of its picture'),
      }),
    )
    .max(SHARDS_MAX),
  placed: z
    .array(
      z.strictObject({
        shard: shardMarkSchema,
        pose: poseSchema,
        certainty: z.enum(['sure', 'probable', 'one-of-several']),
        isLocked: z.boolean(),
        otherPlaces: z
          .array(z.strictObject({ pose: poseSchema, nats: z.number() }))
          .max(20)
          .describe('other places that the edges allow, best first'),
      }),
    )
    .max(SHARDS_MAX),
  loose: z.array(shardMarkSchema).max(SHARDS_MAX),
  joints: z.array(jointSchema.extend({ nats: z.number() })).max(2000),
  missing: z.array(missingSchema).max(500),
});

export type ShardsProposal = z.infer<typeof proposalSchema>;
export type ShardJoint = z.infer<typeof jointSchema>;
export type MissingGlass = z.infer<typeof missingSchema>;

export const LAID_BY = ['proposal', 'other-place', 'hand'] as const;

export const laidSchema = z.strictObject({
  shard: shardMarkSchema,
  pose: poseSchema,
  isLocked: z.boolean().default(false).describe('a person says that it lies so'),
  laidBy: z
    .enum(LAID_BY)
    .default('hand')
    .describe('the proposal, another place that it named, or a hand'),
});

/** What was asked of the worker; kept with the entry. */
export const askedSchema = z.object({
  outlineMm: z.array(pointMm),
  pictures: z.array(shardPictureSchema),
  isEitherFace: z.boolean(),
  locked: z.array(lockedSchema),
  apart: z.array(apartSchema),
});

export type AskedAssembly = z.infer<typeof askedSchema>;
