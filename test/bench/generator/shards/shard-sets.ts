/** Which shard sets are made: those looked at while building, and those run once with everything fixed. */

export type ShardKind = '8' | '14' | '18 both faces' | '26' | '40' | '60';

export interface ShardSetRecipe {
  readonly number: number;
  readonly kind: ShardKind;
  readonly shards: number;
  readonly lost: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly hasImpact: boolean;
  readonly isChipped: boolean;
  /** Share of the shards photographed from the back. */
  readonly backRatio: number;
  readonly hasOutline: boolean;
  readonly pxPerMm: number;
}

const KINDS: Record<
  ShardKind,
  Pick<
    ShardSetRecipe,
    'shards' | 'lost' | 'widthMm' | 'heightMm' | 'hasImpact' | 'isChipped' | 'backRatio'
  >
> = {
  '8': {
    shards: 8,
    lost: 0,
    widthMm: 140,
    heightMm: 105,
    hasImpact: false,
    isChipped: false,
    backRatio: 0,
  },
  '14': {
    shards: 14,
    lost: 1,
    widthMm: 170,
    heightMm: 125,
    hasImpact: false,
    isChipped: false,
    backRatio: 0,
  },
  '18 both faces': {
    shards: 18,
    lost: 0,
    widthMm: 180,
    heightMm: 140,
    hasImpact: false,
    isChipped: false,
    backRatio: 0.4,
  },
  '26': {
    shards: 26,
    lost: 2,
    widthMm: 200,
    heightMm: 150,
    hasImpact: true,
    isChipped: false,
    backRatio: 0,
  },
  '40': {
    shards: 40,
    lost: 2,
    widthMm: 230,
    heightMm: 180,
    hasImpact: false,
    isChipped: true,
    backRatio: 0,
  },
  '60': {
    shards: 60,
    lost: 4,
    widthMm: 260,
    heightMm: 200,
    hasImpact: false,
    isChipped: true,
    backRatio: 0,
  },
};
const OFTEN_OUTLINED: ReadonlySet<ShardKind> = new Set(['14', '40', '60']);

function recipes(kind: ShardKind, first: number, count: number): ShardSetRecipe[] {
  return Array.from({ length: count }, (_, k) => ({
    number: first + k,
    kind,
    ...KINDS[kind],
    hasOutline: OFTEN_OUTLINED.has(kind) && k % 2 === 1,
    pxPerMm: k % 3 === 2 ? 10 : 8,
  }));
}

export const TUNING_SETS: readonly ShardSetRecipe[] = [
  ...recipes('8', 100, 3),
  ...recipes('14', 110, 3),
  ...recipes('18 both faces', 120, 3),
  ...recipes('26', 130, 4),
  ...recipes('40', 140, 3),
  ...recipes('60', 150, 3),
];

export const HELD_OUT_SETS: readonly ShardSetRecipe[] = [
  ...recipes('8', 500, 6),
  ...recipes('14', 510, 6),
  ...recipes('18 both faces', 520, 6),
  ...recipes('26', 530, 6),
  ...recipes('40', 540, 6),
  ...recipes('60', 550, 6),
];
