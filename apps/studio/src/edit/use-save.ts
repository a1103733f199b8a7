import { useState } from 'react';
import { openDrawing } from '#libs/net';
import type { Bench } from '../bench/use-bench.js';
import { readNet, signNet } from '../platform/api/nets.js';
import { readPanel } from '../platform/api/panels.js';
import { Refused } from '../platform/api/request.js';
import { reviseNet } from '../platform/api/revise-net.js';
import { setWords } from '../platform/navigate.js';
import { useAct } from '../platform/use-act.js';
import { dropWork, historyOnTop, keepWork } from './kept-work.js';
import type { DrawingDesk } from './use-drawing.js';

/** Keeping the drawing as a revision; another's newer revision is a choice, never a loss. */
export function useSave(bench: Bench, personId: string, { drawing, history }: DrawingDesk) {
  const { panel } = bench;
  const revision = panel.netRevision ?? 0;
  const { busy, why, run } = useAct();
  const [overtaken, setOvertaken] = useState(false);

  const send = async (note: string): Promise<number> => {
    const kept = await reviseNet(panel.panelId, drawing, note, revision);
    await dropWork(personId, panel.panelId);
    return kept;
  };
  /** Resolves true when it is in the archive; a newer revision there is no refusal but a choice. */
  const guarded = async (act: () => Promise<void>): Promise<boolean> => {
    let stale = false;
    const done = await run(async () => {
      try {
        await act();
      } catch (error) {
        stale = error instanceof Refused && error.status === 412;
        if (!stale) throw error;
        setOvertaken(true);
      }
    });
    return done && !stale;
  };
  return {
    busy,
    why,
    overtaken,
    keep: (note: string) =>
      guarded(async () => {
        const kept = await send(note);
        setWords({ kept: String(kept) });
        bench.again();
      }),
    /** @param note null: nothing is unsaved, the revision is signed as it is */
    sign: (note: string | null) =>
      guarded(async () => {
        await signNet(panel.panelId, note === null ? revision : await send(note));
        setWords({ kept: null, doubts: null });
        bench.again();
      }),
    putOnTop: () =>
      run(async () => {
        const signal = new AbortController().signal;
        const { netRevision } = await readPanel(panel.panelId, signal);
        const newer = await readNet(panel.panelId, netRevision ?? revision, signal);
        await keepWork(personId, panel.panelId, {
          revision: netRevision ?? revision,
          history: historyOnTop(history, openDrawing(bench.net), openDrawing(newer)),
        });
        bench.again();
      }),
    giveUp: () =>
      run(async () => {
        await dropWork(personId, panel.panelId);
        bench.again();
      }),
  };
}
