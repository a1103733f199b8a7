/** How far panels of the west window have come since they were taken out. */
export interface WestWork {
  readonly workState: 'on-bench' | 'rebuilt';
  readonly happened: string;
}

const onBench = (happened: string): WestWork => ({ workState: 'on-bench', happened });
const rebuilt = (happened: string): WestWork => ({ workState: 'rebuilt', happened });

/** What was done with a panel of wI once it was out, in order; nothing where it waits or stands in its opening. */
export function westWork(mark: string): readonly WestWork[] {
  if (/^[D-G]/.test(mark)) return [onBench('2026-05'), rebuilt('2026-09')];
  if (mark.startsWith('28')) return [onBench('2026-06'), rebuilt('2026-09')];
  if (mark.startsWith('27')) return [onBench('2026-11')];
  return [];
}
