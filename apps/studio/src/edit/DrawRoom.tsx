import './edit.css';
import { useEffect, useState } from 'react';
import type { Bench } from '../bench/use-bench.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { reason } from '../platform/use-answer.js';
import { type Begun, DrawTable } from './DrawTable.js';
import { type KeptWork, keptWork } from './kept-work.js';
import { OlderWorkRoom } from './OlderWorkRoom.js';

/** What this browser held of a person's work when they came in. */
interface Found {
  readonly revision: number;
  readonly begun: Begun | null;
  /** begun on an older revision: the person says what becomes of it */
  readonly older?: KeptWork;
  readonly why?: string;
}

/** Drawing by hand on the newest revision; work that was not kept is found again. */
export function DrawRoom({ bench }: { bench: Bench }) {
  const { panel, net, traced } = bench;
  const { me } = useSession();
  const revision = panel.netRevision ?? 0;
  const [found, setFound] = useState<Found>();

  useEffect(() => {
    if (traced) return;
    let left = false;
    keptWork(me.personId, panel.panelId).then(
      (work) => {
        if (left) return;
        if (work?.revision === revision)
          setFound({ revision, begun: { history: work.history, on: revision } });
        // What was undone to the end is no work on a newer revision.
        else if (work && work.history.past.length > 0)
          setFound({ revision, begun: null, older: work });
        else setFound({ revision, begun: null });
      },
      (error: unknown) => {
        // A browser that keeps nothing must not keep anybody from drawing.
        if (!left) setFound({ revision, begun: null, why: reason(error) });
      },
    );
    return () => {
      left = true;
    };
  }, [panel.panelId, revision, traced, me.personId]);

  if (traced)
    return (
      <Shell mark={panel.fullMark} sentence={say('nothing to draw on yet')}>
        <div className="scroll">
          <section className="paper stack">
            <h1>{panel.fullMark}</h1>
            <p>
              {say(
                'There is no lead drawing of this panel yet. It is read from a rubbing, and then drawn on by hand.',
              )}
            </p>
            <p className="row">
              <Go className="act" to={pathOf(panel.fullMark, 'rub')}>
                {say('Rubbings of this panel')}
              </Go>
            </p>
          </section>
        </div>
      </Shell>
    );
  if (found?.revision !== revision)
    return (
      <Shell mark={panel.fullMark} sentence={say('laying out the drawing…')}>
        {null}
      </Shell>
    );
  if (found.older)
    return (
      <OlderWorkRoom
        bench={bench}
        work={found.older}
        onChosen={(begun) => {
          setFound({ revision, begun });
        }}
      />
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
