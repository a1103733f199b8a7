/** How far the campaign on the west window has come: taken out from the top down, four rows on the way back. */
export interface WestWork {
  readonly workState: 'out' | 'on-bench' | 'rebuilt';
  readonly happened: string;
}

const out = (happened: string): WestWork => ({ workState: 'out', happened });
const onBench = (happened: string): WestWork => ({ workState: 'on-bench', happened });
const rebuilt = (happened: string): WestWork => ({ workState: 'rebuilt', happened });

/** What was done with a panel of wI, in order; nothing while it stands in its opening. */
export function westWork(mark: string): readonly WestWork[] {
  const row = Number(/^(\d+)[a-d]$/.exec(mark)?.[1]);
  if (Number.isNaN(row)) {
    return /^[D-G]/.test(mark)
      ? [out('2026-04-02'), onBench('2026-05'), rebuilt('2026-07')]
      : [out('2026-04')];
  }
  if (row === 28) return [out('2026-04-20'), onBench('2026-06'), rebuilt('2026-09')];
  if (row === 27) return [out('2026-04-21'), onBench('2026-11')];
  return row >= 21 ? [out('2026-05')] : [];
}
