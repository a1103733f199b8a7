/** Metres of came by kind, width class and profile, with waste; sticks and what is cut from each. */
import type { LeadKind, Net } from '../net.js';
import { type CameRun, cameRuns } from './came-runs.js';

export interface CameNeed {
  readonly kind: LeadKind;
  readonly widthClassMm: number;
  readonly profile: string | null;
  /** Lengths cut, each through its joints; and leads from joint to joint. */
  readonly runs: number;
  readonly segments: number;
  readonly longestMm: number;
  readonly lengthMm: number;
  /** With waste. */
  readonly grossMm: number;
  /** Only when a length of stick was given. */
  readonly sticks: CutSticks | null;
}

export interface CutSticks {
  readonly stickMm: number;
  /** Sticks that hold all cuts; the waste is what the cuts leave, not a share. */
  readonly count: number;
  readonly sticks: readonly {
    readonly cuts: readonly { readonly runId: string; readonly lengthMm: number }[];
    readonly leftMm: number;
  }[];
  /** Runs longer than a stick: made of several with a butt joint between. */
  readonly joined: readonly string[];
}

export interface NeedOptions {
  /** Share added for offcuts; 0.1 (common practice, no source). */
  readonly wasteRatio?: number;
  /** Length that came is sold in, about 2 m or 6 ft (trade glossary). Absent: no sticks. */
  readonly stickMm?: number;
}

/** What of a drawing is came; foil is bought by the roll and listed beside it. */
export function cameNeeds(net: Net, options: NeedOptions = {}): CameNeed[] {
  const groups = new Map<string, CameRun[]>();
  for (const run of cameRuns(net)) {
    const name = [run.kind, run.widthClassMm, run.profile ?? ''].join('/');
    groups.set(name, [...(groups.get(name) ?? []), run]);
  }
  return [...groups.values()]
    .map((runs): CameNeed => {
      const { kind, widthClassMm, profile } = runs[0]!;
      const lengthMm = runs.reduce((sum, run) => sum + run.lengthMm, 0);
      return {
        kind,
        widthClassMm,
        profile,
        runs: runs.length,
        segments: runs.reduce((sum, run) => sum + run.leadIds.length, 0),
        longestMm: Math.max(...runs.map((run) => run.lengthMm)),
        lengthMm,
        grossMm: withWaste(lengthMm, options).grossMm,
        sticks: options.stickMm === undefined ? null : cutSticks(runs, options.stickMm),
      };
    })
    .sort((a, b) => a.widthClassMm - b.widthClassMm || (a.kind < b.kind ? -1 : 1));
}

/** Length to buy for a net length by a share of waste, and how many sticks that is. */
export function withWaste(
  lengthMm: number,
  { wasteRatio = 0.1, stickMm = 2000 }: NeedOptions = {},
): { grossMm: number; sticks: number } {
  const grossMm = lengthMm * (1 + wasteRatio);
  // A stick is not opened for the last micrometre of rounding.
  return { grossMm, sticks: Math.ceil(grossMm / stickMm - 1e-9) };
}

/**
 * Which runs are cut from which stick: longest first, each from the first stick that still has it.
 *
 * Runs are as long as their centre lines; a cut is no loss (a knife takes nothing).
 * Source: first-fit decreasing, Johnson 1973 (from memory): at most 11/9 of the fewest sticks + 6/9.
 */
export function cutSticks(
  runs: readonly Pick<CameRun, 'runId' | 'lengthMm'>[],
  stickMm: number,
): CutSticks {
  const joined: string[] = [];
  const cuts = runs.flatMap(({ runId, lengthMm }) => {
    if (lengthMm <= stickMm) return [{ runId, lengthMm }];
    joined.push(runId);
    const whole = Math.floor(lengthMm / stickMm);
    return [
      ...Array.from({ length: whole }, () => ({ runId, lengthMm: stickMm })),
      { runId, lengthMm: lengthMm - whole * stickMm },
    ].filter((cut) => cut.lengthMm > 0);
  });
  const sticks: { cuts: { runId: string; lengthMm: number }[]; leftMm: number }[] = [];
  for (const cut of cuts.sort((a, b) => b.lengthMm - a.lengthMm)) {
    let stick = sticks.find((one) => one.leftMm >= cut.lengthMm - 1e-6);
    if (stick === undefined) {
      stick = { cuts: [], leftMm: stickMm };
      sticks.push(stick);
    }
    stick.cuts.push(cut);
    stick.leftMm = Math.max(0, stick.leftMm - cut.lengthMm);
  }
  return { stickMm, count: sticks.length, sticks, joined };
}
