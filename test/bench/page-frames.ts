/**
 * Frames of a page out of the browser's own trace: the work of its main thread between one frame and the
 * next, and what of it is script, style, layout and paint.
 */
import type { CDPSession } from 'playwright-core';

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly ts: number;
  /** on the clock, µs */
  readonly dur?: number;
  /** of the processor, µs */
  readonly tdur?: number;
  readonly pid: number;
  readonly tid: number;
  readonly args: { readonly name?: string };
}

/** One frame of the page's main thread. */
export interface PageFrame {
  /** time of the processor for script, style, layout and paint */
  readonly workMs: number;
  /** time of the processor for all, waiting for the graphics card's stand-in as well */
  readonly processorMs: number;
  /** time on the clock: on a busy machine it says more of the machine */
  readonly clockMs: number;
}

/**
 * What the browser's own tools count as scripting (with its garbage), rendering and painting; the rest of a
 * frame hands the picture on, and waits for who draws it. Of events within one another only the outer is
 * counted.
 */
const WORK = new Set([
  'FunctionCall',
  'EvaluateScript',
  'v8.evaluateModule',
  'RunMicrotasks',
  'BlinkScheduler_PerformMicrotaskCheckpoint',
  'FireAnimationFrame',
  'FireIdleCallback',
  'TimerFire',
  'EventDispatch',
  'HandlePostMessage',
  'MinorGC',
  'MajorGC',
  'UpdateLayoutTree',
  'Layout',
  'PrePaint',
  'HitTest',
  'Paint',
  'Layerize',
  'Commit',
]);

/** Frames while `act` goes on. @throws when the page drew none */
export async function framesOf(
  session: CDPSession,
  act: () => Promise<void>,
): Promise<PageFrame[]> {
  return frameTimes(await traced(session, act));
}

async function traced(session: CDPSession, act: () => Promise<void>): Promise<TraceEvent[]> {
  const events: TraceEvent[] = [];
  session.on('Tracing.dataCollected', ({ value }) => {
    events.push(...(value as unknown as TraceEvent[]));
  });
  await session.send('Tracing.start', {
    traceConfig: { includedCategories: ['toplevel', 'devtools.timeline', '__metadata'] },
  });
  await act();
  const complete = new Promise((resolve) => session.once('Tracing.tracingComplete', resolve));
  await session.send('Tracing.end');
  await complete;
  return events;
}

/** Work of the page's main thread from one animation frame to the next. */
function frameTimes(events: readonly TraceEvent[]): PageFrame[] {
  const frames = events.filter(({ name, ph }) => name === 'FireAnimationFrame' && ph === 'X');
  const main = frames[0];
  if (main === undefined) throw new Error('the trace holds no frame');
  const starts = frames
    .filter(({ pid, tid }) => pid === main.pid && tid === main.tid)
    .map(({ ts }) => ts)
    .sort((a, b) => a - b);
  const tasks = events.filter(
    ({ name, ph, pid, tid }) =>
      ph === 'X' && pid === main.pid && tid === main.tid && name.endsWith('RunTask'),
  );
  if (tasks.length === 0) throw new Error('the trace holds no tasks');
  const work = outermost(
    events.filter(
      ({ name, ph, pid, tid }) =>
        ph === 'X' && pid === main.pid && tid === main.tid && WORK.has(name),
    ),
  );
  return starts.slice(1).map((end, i) => {
    const from = starts[i]!;
    const within = tasks.filter(({ ts }) => ts >= from && ts < end);
    return {
      workMs:
        work
          .filter(({ ts }) => ts >= from && ts < end)
          .reduce((sum, { tdur = 0 }) => sum + tdur, 0) / 1000,
      processorMs: within.reduce((sum, { tdur = 0 }) => sum + tdur, 0) / 1000,
      clockMs: within.reduce((sum, { dur = 0 }) => sum + dur, 0) / 1000,
    };
  });
}

/** Those that lie in no other. */
function outermost(events: readonly TraceEvent[]): readonly TraceEvent[] {
  let until = -Infinity;
  return events
    .toSorted((a, b) => a.ts - b.ts || (b.dur ?? 0) - (a.dur ?? 0))
    .filter(({ ts, dur = 0 }) => {
      if (ts < until) return false;
      until = ts + dur;
      return true;
    });
}
