import { judgeDrawing, openDrawing, sayNetChange } from '#libs/net';
import type { Bench } from '../bench/use-bench.js';
import { sayMade, sayMaker } from '../compare/pair-of-revisions.js';
import { readNet } from '../platform/api/nets.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import type { Begun } from './DrawTable.js';
import { dropWork, historyOnTop, type KeptWork, keepWork } from './kept-work.js';

/** Unsaved work that was begun on an older revision: put on top of the newest, or thrown away. */
export function OlderWorkRoom({
  bench,
  work,
  onChosen,
}: {
  bench: Bench;
  work: KeptWork;
  /** null: the newest revision as it stands */
  onChosen: (begun: Begun | null) => void;
}) {
  const { panel, net, nets } = bench;
  const { me } = useSession();
  const { busy, why, run } = useAct();
  const revision = panel.netRevision ?? 0;
  const newest = nets.find((one) => one.revision === revision);
  const looked = useAnswer(`net ${panel.panelId} ${work.revision}`, async (signal) => {
    const base = await readNet(panel.panelId, work.revision, signal);
    return { base, changed: sayWork(work, base) };
  });
  const base = looked.value?.base;
  const onTop = async () => {
    if (!base) return;
    const history = historyOnTop(work.history, openDrawing(base), openDrawing(net));
    await keepWork(me.personId, panel.panelId, { revision, history });
    onChosen({ history, on: work.revision });
  };
  return (
    <Shell mark={panel.fullMark} sentence={say('unsaved work is here')}>
      <div className="scroll">
        <section className="paper stack" aria-label={say('Unsaved work')}>
          <div>
            <h1>{say('You have unsaved work here')}</h1>
            <p role="status">
              {rich('Begun on revision {revision}: ', { revision: work.revision })}
              {looked.value?.changed ?? looked.why ?? say('looking at it…')}.
            </p>
          </div>
          <p>
            {rich(
              '{newest} Put on top of it, what you changed stands and everything else is as in revision {revision}; each of your acts can still be undone.',
              {
                newest: newest
                  ? say('Revision {revision} has been kept since, {madeBy} {newest}.', {
                      revision,
                      madeBy: sayMaker(newest.madeBy),
                      newest: sayMade(newest),
                    })
                  : say('Revision {revision} has been kept since.', { revision }),
                revision,
              },
            )}
          </p>
          <Refusal why={why} />
          <div className="row">
            <button type="button" disabled={busy || !base} onClick={() => void run(onTop)}>
              {rich('Put it on top of revision {revision}', { revision })}
            </button>
            <button
              type="button"
              className="quiet"
              disabled={busy}
              onClick={() =>
                void run(async () => {
                  await dropWork(me.personId, panel.panelId);
                  onChosen(null);
                })
              }
            >
              {say('Throw it away')}
            </button>
            <Go className="act quiet" to={pathOf(panel.fullMark)}>
              {say('Leave it for later')}
            </Go>
          </div>
        </section>
      </div>
    </Shell>
  );
}

/** '2 leads moved ≤ 0.8 mm'; how many acts it is while it is no whole net. */
function sayWork({ history }: KeptWork, base: Bench['net']): string {
  const { net } = judgeDrawing(history.present, base);
  return net
    ? sayNetChange(base, net).sentence
    : say('{past, plural, one {# act} other {# acts}} by hand', { past: history.past.length });
}
