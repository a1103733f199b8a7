/** How far the campaign on the west window has come: taken out from the top down, four rows on the way back. */
export interface WestWork {
  readonly workState: 'out' | 'on-bench' | 'rebuilt';
  readonly happened: string;
}

/** What was last done with a panel of wI; undefined while it stands in its opening. */
export function westWork(mark: string): WestWork | undefined {
  const row = Number(/^(\d+)[a-d]$/.exec(mark)?.[1]);
  if (Number.isNaN(row)) {
    return /^[D-G]/.test(mark)
      ? { workState: 'rebuilt', happened: '2026-07' }
      : { workState: 'out', happened: '2026-04' };
  }
  if (row === 28) return { workState: 'rebuilt', happened: '2026-09' };
  if (row === 27) return { workState: 'on-bench', happened: '2026-11' };
  if (row >= 21) return { workState: 'out', happened: '2026-05' };
  return undefined;
}
