import './edit.css';
import { useEffect, useState } from 'react';
import { openDrawing, putOnTop } from '#libs/net';
import type { Bench } from '../bench/use-bench.js';
import { readNet } from '../platform/api/nets.js';
import { Go } from '../platform/Go.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { reason } from '../platform/use-answer.js';
import { type Begun, DrawTable } from './DrawTable.js';
import { type KeptWork, keepWork, keptWork } from './kept-work.js';

/** Drawing by hand on the newest revision; work that was not kept is found again. */
export function DrawRoom({ bench }: { bench: Bench }) {
  const { panel, net, traced } = bench;
  const { me } = useSession();
  const revision = panel.netRevision ?? 0;
  const [found, setFound] = useState<{ revision: number; begun: Begun | null; why?: string }>();

  useEffect(() => {
    if (traced) return;
    let left = false;
    const look = async (): Promise<Begun | null> => {
      const work = await keptWork(me.personId, panel.panelId);
      if (!work) return null;
      if (work.revision === revision) return { drawing: work.drawing, on: revision };
      return carriedOver(work, panel.panelId, revision, bench, me.personId);
    };
    look().then(
      (begun) => {
        if (!left) setFound({ revision, begun });
      },
      (error: unknown) => {
        // A browser that keeps nothing must not keep anybody from drawing.
        if (!left) setFound({ revision, begun: null, why: reason(error) });
      },
    );
    return () => {
      left = true;
    };
    // Looked for once a revision; the bench is the same until then.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [panel.panelId, revision, traced, me.personId]);

  if (traced)
    return (
      <Shell mark={panel.fullMark} sentence="nothing to draw on yet">
        <div className="scroll">
          <section className="paper stack">
            <h1>{panel.fullMark}</h1>
            <p>
              There is no lead drawing of this panel yet. It is read from a rubbing, and then drawn
              on by hand.
            </p>
            <p className="row">
              <Go className="act" to={pathOf(panel.fullMark, 'rub')}>
                Rubbings of this panel
              </Go>
            </p>
          </section>
        </div>
      </Shell>
    );
  if (found?.revision !== revision)
    return (
      <Shell mark={panel.fullMark} sentence="laying out the drawing…">
        {null}
      </Shell>
    );
  return (
    <DrawTable
      key={`${revision} ${net.layer}`}
      bench={bench}
      begun={found.begun}
      notKept={found.why ?? null}
    />
  );
}

/** Work begun on an older revision goes on top of this one, and is kept as that. */
async function carriedOver(
  work: KeptWork,
  panelId: string,
  revision: number,
  { net }: Bench,
  personId: string,
): Promise<Begun> {
  const base = await readNet(panelId, work.revision, new AbortController().signal);
  const drawing = putOnTop(openDrawing(base), work.drawing, openDrawing(net));
  await keepWork(personId, panelId, { revision, drawing });
  return { drawing, on: work.revision };
}
