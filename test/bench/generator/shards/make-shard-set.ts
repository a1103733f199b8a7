/** A broken piece with exact truth: outline, cracks, shards, their photographs. Shares no code with the assembly. */
import type { Xy } from '../../score/score-math.js';
import type { ShardsTruth } from '../../score/score-shards.js';
import { ringArea } from '../polyline.js';
import { type RandomStream, randomStream } from '../random-stream.js';
import { Fracture } from './fracture.js';
import { type GlassLook, photographShard, type ShardShot } from './light-box.js';
import { PaintedFace } from './painted-face.js';
import { pieceOutline } from './piece-outline.js';
import { BODY_PX_PER_MM, type LabelGrid, shardBody } from './shard-body.js';
import type { ShardSetRecipe } from './shard-sets.js';

/** A joint of less than this is not told of. */
const LEAST_SHARED_MM = 1;
/** The outline from a drawing is known to about this. */
const OUTLINE_ERROR_MM = 0.2;

export interface ShardSet {
  readonly shots: readonly (ShardShot & { id: string })[];
  readonly input: Record<string, unknown>;
  readonly truth: ShardsTruth & { task: 'shards'; outline: Xy[] };
}

export function makeShardSet(recipe: ShardSetRecipe): ShardSet {
  const random = randomStream(`shards ${recipe.number}`);
  const outline = pieceOutline(random.branch('outline'), recipe.widthMm, recipe.heightMm);
  const fracture = new Fracture(
    random.branch('fracture'),
    outline,
    recipe.shards,
    recipe.hasImpact,
  );
  const grid = labelGrid(fracture, outline, recipe);
  const areas = areasOf(grid, recipe.shards);
  const lost = chooseLost(random.branch('lost'), areas, recipe.lost);
  const kept = areas.map((_, i) => i).filter((i) => !lost.has(i));
  const order = shuffled(random.branch('order'), kept);
  const idOf = new Map(order.map((label, k) => [label, `s${String(k + 1).padStart(2, '0')}`]));
  const paint = new PaintedFace(random.branch('paint'), recipe.widthMm, recipe.heightMm);
  const glass = glassLook(random.branch('glass'));
  const shots: (ShardShot & { id: string })[] = [];
  const shards: ShardsTruth['shards'] = [];
  for (const label of order) {
    const own = random.branch(`shard ${label}`);
    const body = shardBody(grid, label, own, { isChipped: recipe.isChipped && own.chance(0.6) });
    const shot = photographShard(
      body,
      paint,
      glass,
      recipe.pxPerMm,
      own.chance(recipe.backRatio),
      own,
    );
    const id = idOf.get(label)!;
    shots.push({ id, ...shot });
    shards.push({
      id,
      px_to_mm: shot.pxToMm,
      centroid_px: inversely(shot.pxToMm, body.centroidMm),
      area_mm2: body.areaMm2,
    });
  }
  const adjacency = [...sharedLengths(grid)]
    .map(([key, mm]) => ({ labels: key.split(' ').map(Number) as [number, number], mm }))
    .filter(({ labels, mm }) => mm >= LEAST_SHARED_MM && labels.every((l) => idOf.has(l)))
    .map(({ labels: [a, b], mm }) => ({ a: idOf.get(a)!, b: idOf.get(b)!, shared_mm: mm }));
  return {
    shots,
    input: {
      task: 'shards',
      shards: shots.map(({ id }) => ({ id, image: `${id}.jpg`, px_per_mm: recipe.pxPerMm })),
      side: recipe.backRatio > 0 ? 'some are from the back' : 'all from the painted side',
      lost: recipe.lost > 0 ? 'some shards are lost' : 'none is lost',
      ...(recipe.hasOutline ? { outline_mm: drawnOutline(random.branch('drawn'), outline) } : {}),
    },
    truth: {
      task: 'shards',
      shards,
      adjacency,
      outline,
      missing_area_mm2: [...lost].reduce((s, l) => s + areas[l]!, 0),
      ...(recipe.backRatio > 0 ? { mirror_free: true } : {}),
    },
  };
}

function labelGrid(fracture: Fracture, outline: readonly Xy[], recipe: ShardSetRecipe): LabelGrid {
  const px = BODY_PX_PER_MM;
  const margin = 12 * px;
  const width = recipe.widthMm * px + margin;
  const height = recipe.heightMm * px + margin;
  const labels = new Int16Array(width * height).fill(-1);
  for (let y = 0; y < height; y++) {
    for (const [from, to] of spans(outline, y / px)) {
      for (let x = Math.max(0, Math.ceil(from * px)); x <= Math.min(width - 1, to * px); x++)
        labels[y * width + x] = fracture.shardAt(x / px, y / px);
    }
  }
  return { width, height, labels };
}

/** Where a row lies inside of the outline. */
function spans(ring: readonly Xy[], y: number): [number, number][] {
  const xs: number[] = [];
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [ax, ay] = ring[i]!;
    const [bx, by] = ring[j]!;
    if (ay > y !== by > y) xs.push(ax + ((bx - ax) * (y - ay)) / (by - ay));
  }
  xs.sort((a, b) => a - b);
  const out: [number, number][] = [];
  for (let k = 0; k + 1 < xs.length; k += 2) out.push([xs[k]!, xs[k + 1]!]);
  return out;
}

function areasOf(grid: LabelGrid, count: number): number[] {
  const areas = new Array<number>(count).fill(0);
  for (const l of grid.labels) if (l >= 0) areas[l]!++;
  return areas.map((n) => n / BODY_PX_PER_MM ** 2);
}

/** Rather the smaller ones, as it happens. */
function chooseLost(random: RandomStream, areas: readonly number[], count: number): Set<number> {
  const bySize = areas.map((_, i) => i).sort((a, b) => areas[a]! - areas[b]!);
  const small = bySize.slice(0, Math.ceil(0.6 * areas.length));
  const lost = new Set<number>();
  while (lost.size < count) lost.add(random.pick(small));
  return lost;
}

function shuffled<T>(random: RandomStream, list: readonly T[]): T[] {
  const out = [...list];
  for (let i = out.length - 1; i > 0; i--) {
    const j = random.whole(0, i);
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}

function glassLook(random: RandomStream): GlassLook {
  const base = random.between(0.55, 0.95);
  const share = (): number => Math.min(0.95, base * random.between(0.75, 1.1));
  return { rgb: [share(), share(), share()] };
}

function inversely(m: ShardShot['pxToMm'], [x, y]: readonly [number, number]): Xy {
  const [[a, b, tx], [c, d, ty]] = m;
  const det = a * d - b * c;
  return [(d * (x - tx) - b * (y - ty)) / det, (a * (y - ty) - c * (x - tx)) / det];
}

/**
 * Length of the border between two shards by Crofton's formula over four directions: crossings of parallel lines,
 * each worth its spacing, times a quarter of pi over each pair of directions.
 */
function sharedLengths({ width, height, labels }: LabelGrid): Map<string, number> {
  const out = new Map<string, number>();
  const step = 1 / BODY_PX_PER_MM;
  const directions: [number, number, number][] = [
    [1, 0, 1],
    [0, 1, 1],
    [1, 1, Math.SQRT1_2],
    [1, -1, Math.SQRT1_2],
  ];
  for (const [dx, dy, spacing] of directions) {
    const worth = (Math.PI / 8) * spacing * step;
    for (let y = 1; y + 1 < height; y++) {
      for (let x = 1; x + 1 < width; x++) {
        const a = labels[y * width + x]!;
        const b = labels[(y + dy) * width + x + dx]!;
        if (a === b || a < 0 || b < 0) continue;
        const key = a < b ? `${a} ${b}` : `${b} ${a}`;
        out.set(key, (out.get(key) ?? 0) + worth);
      }
    }
  }
  return out;
}

/** The piece's outline as a drawing has it: somewhere else, and not quite true. */
function drawnOutline(random: RandomStream, outline: readonly Xy[]): Xy[] {
  const grow = 1 + (random.normal() * OUTLINE_ERROR_MM) / Math.sqrt(Math.abs(ringArea(outline)));
  const angle = random.between(0, 2 * Math.PI);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const [tx, ty] = [random.between(100, 900), random.between(100, 900)];
  return outline
    .filter((_, i) => i % 2 === 0)
    .map(
      ([x, y]): Xy => [
        Math.round((grow * (cos * x - sin * y) + tx) * 1000) / 1000,
        Math.round((grow * (sin * x + cos * y) + ty) * 1000) / 1000,
      ],
    );
}
