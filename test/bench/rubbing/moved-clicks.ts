/** The same case with every click moved by one pixel: no number may change, no lead move by more than 0.2 mm. */
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { randomStream } from '../generator/random-stream.js';
import { distanceToLeads, sampleLeads } from '../score/lead-samples.js';
import type { RubbingResult, RubbingTruth } from '../score/rubbing-result.js';
import { scorePieces } from '../score/score-pieces.js';

export interface Repeat {
  /** Pieces of the first reading without a piece of the same number in the same place. */
  numbersChanged: number;
  /** Farthest that any part of a lead lies from the leads of the other reading, mm. */
  shiftMm: number;
}

/** A folder like this one with its clicks moved; undefined when the case has none. */
export function withMovedClicks(folder: string): string | undefined {
  const clicks = JSON.parse(readFileSync(join(folder, 'clicks.json'), 'utf8')) as Record<
    string,
    [number, number][]
  >;
  if (Object.values(clicks).every((list) => list.length === 0)) return undefined;
  const random = randomStream(`moved clicks ${readFileSync(join(folder, 'clicks.json'), 'utf8')}`);
  const by1Px = ([x, y]: [number, number]): [number, number] => {
    const angle = random.between(0, 2 * Math.PI);
    return [x + Math.cos(angle), y + Math.sin(angle)];
  };
  const place = mkdtempSync(join(tmpdir(), 'mullion-moved-'));
  mkdirSync(place, { recursive: true });
  for (const name of readdirSync(folder)) {
    if (name !== 'clicks.json') symlinkSync(join(folder, name), join(place, name));
  }
  const moved = Object.fromEntries(
    Object.entries(clicks).map(([image, list]) => [image, list.map(by1Px)]),
  );
  writeFileSync(join(place, 'clicks.json'), JSON.stringify(moved));
  return place;
}

export function compareReadings(first: RubbingResult, second: RubbingResult): Repeat {
  const pieces = (first.pieces ?? []).map((p, id) => ({ ...p, id }));
  const asTruth = {
    pieces: pieces.map(({ id, polygon }) => ({ id, polygon: polygon!, cut_polygon: polygon! })),
  } as unknown as RubbingTruth;
  const { match } = scorePieces(asTruth, second, (p) => p);
  const numberOf = new Map([...match.truthOf].map(([j, i]) => [i, second.pieces![j]!.id]));
  const numbersChanged = (first.pieces ?? []).filter((p, i) => numberOf.get(i) !== p.id).length;
  return {
    numbersChanged: Math.max(numbersChanged, (second.pieces ?? []).length - match.truthOf.size),
    shiftMm: Math.max(farthest(first, second), farthest(second, first)),
  };
}

function farthest(from: RubbingResult, to: RubbingResult): number {
  const points = sampleLeads(from.leads ?? [], 2).points;
  const target = sampleLeads(to.leads ?? [], 2);
  if (points.length === 0 || target.points.length === 0) return Infinity;
  return distanceToLeads(points, target).distanceMm.reduce((a, b) => Math.max(a, b), 0);
}
