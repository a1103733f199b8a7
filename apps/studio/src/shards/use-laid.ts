import { useCallback, useEffect, useMemo, useState } from 'react';
import { type LaidShards, type ShardEdge, shardEdge, tellLaid } from '#libs/shards';
import type { Kept, Proposal } from '../platform/api/shards.js';
import { useKept } from '../platform/kept-value.js';
import { flipped, type Laid, laidAt, middleOf, moved, placed, turned, type Xy } from './laid.js';

interface Draft {
  readonly laid: readonly Laid[];
  readonly apart: readonly (readonly [string, string])[];
}

const isDraft = (value: unknown): value is Draft =>
  typeof value === 'object' && value !== null && 'laid' in value && 'apart' in value;

export interface Table extends Draft {
  readonly middles: ReadonlyMap<string, Xy>;
  readonly told: LaidShards | null;
  readonly change: (shard: string, next: (laid: Laid) => Laid) => void;
  readonly move: (shard: string, dx: number, dy: number) => void;
  readonly turn: (shard: string, angleRad: number) => void;
  readonly flip: (shard: string) => void;
  readonly lay: (shard: string) => void;
  readonly takeAway: (shard: string) => void;
  readonly setApart: (a: string, b: string, isApart: boolean) => void;
  /** back to what was proposed */
  readonly startOver: () => void;
}

/** The shards as they lie on this screen; kept in the browser until they are kept in the archive. */
export function useLaid({
  assemblyId,
  proposal,
  kept,
  isTogether,
}: {
  assemblyId: string;
  proposal: Proposal;
  kept: Kept | null;
  /** moving one moves all */
  isTogether: boolean;
}): Table {
  const first = kept?.assemblyId === assemblyId ? keptOf(kept) : proposedOf(proposal);
  const [draft, setDraft] = useKept(`shards ${assemblyId}`, first, isDraft);
  const { laid, apart } = draft;
  const { outlineMm, shards } = proposal;
  const middles = useMemo(
    () => new Map(shards.map(({ shard, ringMm }) => [shard, middleOf(ringMm)])),
    [shards],
  );
  const told = useTold(proposal, laid);
  const setLaid = (next: readonly Laid[]) => {
    setDraft({ laid: next, apart });
  };
  const change = (shard: string, next: (laid: Laid) => Laid) => {
    setLaid(laid.map((one) => (one.shard === shard ? next(one) : one)));
  };
  /** by hand: one, or all of them; what is locked stays unless all go together */
  const byHand = (shard: string, act: (one: Laid) => Laid['pose']) => {
    setLaid(
      laid.map((one) =>
        isTogether || (one.shard === shard && !one.isLocked)
          ? { ...one, pose: act(one), laidBy: isTogether ? one.laidBy : 'hand' }
          : one,
      ),
    );
  };
  const centreOf = (shard: string): Xy => {
    const about = isTogether ? laid : laid.filter((one) => one.shard === shard);
    const places = about.map((one) => placed(one.pose, middles.get(one.shard) ?? [0, 0]));
    const sum = places.reduce<Xy>(([x, y], [u, v]) => [x + u, y + v], [0, 0]);
    return [sum[0] / places.length, sum[1] / places.length];
  };
  return {
    laid,
    apart,
    middles,
    told,
    change,
    move: (shard, dx, dy) => {
      byHand(shard, ({ pose }) => moved(pose, dx, dy));
    },
    turn: (shard, angleRad) => {
      const centre = centreOf(shard);
      byHand(shard, ({ pose }) => turned(pose, centre, angleRad));
    },
    flip: (shard) => {
      change(shard, (one) =>
        one.isLocked
          ? one
          : { ...one, laidBy: 'hand', pose: flipped(one.pose, middles.get(shard) ?? [0, 0]) },
      );
    },
    lay: (shard) => {
      const pose = laidAt(middles.get(shard) ?? [0, 0], middleOf(outlineMm.flat()));
      setLaid([...laid, { shard, pose, isLocked: false, laidBy: 'hand' }]);
    },
    takeAway: (shard) => {
      setLaid(laid.filter((one) => one.shard !== shard || one.isLocked));
    },
    setApart: (a, b, isApart) => {
      const others = apart.filter(([c, d]) => !(c === a && d === b) && !(c === b && d === a));
      setDraft({ laid, apart: isApart ? [...others, [a, b]] : others });
    },
    startOver: () => {
      setDraft(proposedOf(proposal));
    },
  };
}

const proposedOf = ({ placed: list }: Proposal): Draft => ({
  laid: list.map(({ shard, pose, isLocked }) => ({
    shard,
    pose,
    isLocked,
    laidBy: 'proposal',
  })),
  apart: [],
});

const keptOf = ({ laid, apart }: Kept): Draft => ({ laid, apart });

/** A hand that still moves is not kept waiting for areas. */
const RESTS_MS = 160;

function useTold({ shards, gapMm, outlineMm }: Proposal, laid: readonly Laid[]): LaidShards | null {
  const [told, setTold] = useState<LaidShards | null>(null);
  const edges = useMemo(
    () =>
      new Map<string, ShardEdge>(
        shards.map(({ shard, ringMm }) => [shard, shardEdge(shard, ringMm)]),
      ),
    [shards],
  );
  const tell = useCallback(() => {
    const lying = laid.flatMap(({ shard, pose }) => {
      const edge = edges.get(shard);
      return edge === undefined ? [] : [{ edge, pose }];
    });
    setTold(tellLaid(lying, gapMm, outlineMm));
  }, [laid, edges, gapMm, outlineMm]);
  useEffect(() => {
    const waiting = setTimeout(tell, RESTS_MS);
    return () => {
      clearTimeout(waiting);
    };
  }, [tell]);
  return told;
}
