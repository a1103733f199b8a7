import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import type { Net } from '#libs/net';
import type { RubbingSheet } from '#libs/rubbing';
import type { Command, Output } from './command.js';
import { decodePicture } from './decode-picture.js';
import { EXIT } from './exit-codes.js';
import { controlSchema } from './marks-file.js';
import { readArguments } from './read-arguments.js';
import { readJson } from './read-json.js';
import { Refusal } from './refusal.js';
import { rubbingNet } from './rubbing-net.js';

const HELP = `mullion case DIR RESULT.json

Runs one case folder (input.json, pictures, clicks.json; form in fixtures/case-format.md) through the
same code as the worker and writes the neutral result. Task "rubbing" is handled.

exit 0  written     1  the case cannot support an answer     2  wrong usage     7  a task not handled yet
`;

const inputSchema = z.object({
  images: z
    .array(z.object({ image: z.string(), control: controlSchema, dpi: z.number().optional() }))
    .min(1),
  face_widths_in_use_mm: z.array(z.number()).nullish(),
  face: z.enum(['inside', 'outside']).default('inside'),
  layer: z.enum(['front', 'back']).default('front'),
});
const clicksSchema = z.record(z.string(), z.array(z.tuple([z.number(), z.number()])));

async function run(args: readonly string[], output: Output) {
  const { positionals } = readArguments(args, {} as const, ['DIR', 'RESULT.json']);
  const [folder, resultPath] = positionals as [string, string];
  const input = await readJson(join(folder, 'input.json'));
  const task = z.object({ task: z.string() }).safeParse(input).data?.task;
  if (task !== 'rubbing') {
    throw new Refusal(
      `Task ${task ?? '(none given)'} is not handled yet: only rubbing is.`,
      EXIT.taskUnknown,
    );
  }
  const read = inputSchema.safeParse(input);
  if (!read.success) {
    const issue = read.error.issues[0]!;
    throw new Refusal(`${join(folder, 'input.json')}: ${issue.path.join('.')}: ${issue.message}.`);
  }
  const clicks = clicksSchema.parse(await readJson(join(folder, 'clicks.json')));
  const started = performance.now();
  const cpuBefore = process.cpuUsage();
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
  const seconds = (performance.now() - started) / 1000;
  const { user, system } = process.cpuUsage(cpuBefore);
  const cost = {
    seconds,
    // this process's own work: decoding happens in a process apart
    cpu_seconds: (user + system) / 1e6,
    peak_rss_mib: await peakRssMib(),
  };
  await writeFile(resultPath, `${JSON.stringify({ rubbing: neutralResult(net), ...cost })}\n`);
  output.note(`${folder}: ${net.pieces.length} pieces in ${seconds.toFixed(1)} s`);
  return EXIT.ok;
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

/** Largest resident size of this process so far; the kernel's count where it gives one. */
async function peakRssMib(): Promise<number> {
  try {
    const kib = /VmHWM:\s+(\d+) kB/.exec(await readFile('/proc/self/status', 'utf8'))?.[1];
    if (kib !== undefined) return Number(kib) / 1024;
  } catch {
    // no /proc here: the size now is the best there is
  }
  return process.memoryUsage.rss() / 1024 ** 2;
}

export const caseCommand: Command = {
  name: 'case',
  summary: 'run one measuring case and write the neutral result',
  help: HELP,
  run,
};
