import { join } from 'node:path';
import { z } from 'zod';
import type { Net } from '#libs/net';
import type { RubbingSheet } from '#libs/rubbing';
import type { Output } from './command.js';
import { decodePicture } from './decode-picture.js';
import { controlSchema } from './marks-file.js';
import { readJson } from './read-json.js';
import { Refusal } from './refusal.js';
import { rubbingNet } from './rubbing-net.js';

const inputSchema = z.object({
  images: z
    .array(z.object({ image: z.string(), control: controlSchema, dpi: z.number().optional() }))
    .min(1),
  face_widths_in_use_mm: z.array(z.number()).nullish(),
  face: z.enum(['inside', 'outside']).default('inside'),
  layer: z.enum(['front', 'back']).default('front'),
});
const clicksSchema = z.record(z.string(), z.array(z.tuple([z.number(), z.number()])));

/** Reads one rubbing case. @returns the neutral result and a word on it. @throws Refusal */
export async function rubbingCase(
  folder: string,
  input: unknown,
  output: Output,
): Promise<{ result: object; say: string }> {
  const read = inputSchema.safeParse(input);
  if (!read.success) {
    const issue = read.error.issues[0]!;
    throw new Refusal(`${join(folder, 'input.json')}: ${issue.path.join('.')}: ${issue.message}.`);
  }
  const clicks = clicksSchema.parse(await readJson(join(folder, 'clicks.json')));
  const sheets: RubbingSheet[] = [];
  // one after the other, so that no two are decoded at a time
  for (const { image: name, control, dpi } of read.data.images) {
    const picture = await decodePicture(join(folder, name));
    sheets.push({
      image: { ...picture, ...(dpi === undefined ? {} : { dpi }) },
      control,
      taps: clicks[name] ?? [],
    });
  }
  const { face, layer, face_widths_in_use_mm: faceWidthsInUseMm } = read.data;
  const { net } = rubbingNet(
    sheets,
    { face, ...(faceWidthsInUseMm ? { faceWidthsInUseMm } : {}) },
    output,
    layer,
  );
  return { result: { rubbing: neutralResult(net) }, say: `${net.pieces.length} pieces` };
}

/** The net in the neutral form that the scorer reads. */
function neutralResult(net: Net) {
  const pairs = new Map<string, [string, string]>();
  for (const { leftPieceId: a, rightPieceId: b } of net.leads) {
    if (a !== null && b !== null && a !== b) pairs.set([a, b].sort().join(' '), [a, b]);
  }
  return {
    pieces: net.pieces.map((p) => ({ id: p.pieceId, polygon: p.centreRingMm })),
    leads: net.leads.map((e) => ({
      id: e.leadId,
      line: e.lineMm,
      width_mm: e.faceWidthMm,
      confidence: e.confidenceP,
      doubts: e.doubts,
    })),
    adjacency: [...pairs.values()],
    junctions: net.joints.filter((j) => j.degree >= 3).map((j) => j.xyMm),
    doubtful_places: net.doubtfulPlaces.map((d) => ({
      xy: d.xyMm,
      radius_mm: d.radiusMm,
      reason: d.reason,
      lead: d.leadId,
    })),
  };
}
