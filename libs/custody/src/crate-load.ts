/** What a crate weighs and whether it may be lifted as planned. */

export interface Laid {
  readonly key: string;
  /** null: neither reckoned nor weighed */
  readonly massKg: number | null;
  readonly source: 'weighed' | 'net' | 'area' | null;
}

export interface CrateLimits {
  /** of the empty crate */
  readonly emptyKg?: number | undefined;
  /** most that the crate may weigh with all in it, as the studio states */
  readonly mostKg?: number | undefined;
}

export interface CrateLoad {
  readonly glassKg: number;
  readonly emptyKg: number;
  readonly totalKg: number;
  /** things whose mass nobody knows: the total is more than stated */
  readonly unknown: readonly string[];
  readonly isOver: boolean;
}

export function crateLoad(things: readonly Laid[], limits: CrateLimits = {}): CrateLoad {
  const glassKg = things.reduce((sum, { massKg }) => sum + (massKg ?? 0), 0);
  const emptyKg = limits.emptyKg ?? 0;
  const totalKg = glassKg + emptyKg;
  return {
    glassKg,
    emptyKg,
    totalKg,
    unknown: things.filter(({ massKg }) => massKg === null).map(({ key }) => key),
    isOver: limits.mostKg !== undefined && totalKg > limits.mostKg,
  };
}
