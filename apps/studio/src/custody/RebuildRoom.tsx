import { leadRows } from '#libs/custody';
import type { Bench } from '../bench/use-bench.js';
import { readSteps } from '../platform/api/custody.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import { RebuildPaper } from './RebuildPaper.js';
import './custody.css';

/** At the bench: the list of a rebuilt panel, made from its lead drawing. */
export function RebuildRoom({ bench }: { bench: Bench }) {
  const { panel, net, traced } = bench;
  const steps = useAnswer(`steps ${panel.panelId}`, (signal) => readSteps(panel.panelId, signal));
  const last = steps.value?.find(({ kind }) => kind === 'check');
  const signed = steps.value?.find(({ kind }) => kind === 'sign');
  const isSigned = signed !== undefined && last !== undefined && signed.entrySeq > last.entrySeq;
  const revision = panel.netRevision;
  return (
    <Shell
      mark={panel.fullMark}
      sentence={<>{rich('the list of the rebuilt {b}', { b: <b>{panel.fullMark}</b> })}</>}
    >
      <div className="scroll">
        {traced || revision === null ? (
          <section className="paper">
            <p>{say('There is no lead drawing yet, and the list is made from it.')}</p>
          </section>
        ) : steps.value ? (
          <RebuildPaper
            key={last?.stepId ?? 'first'}
            panel={{ ...panel, revision }}
            pieces={net.pieces.map(({ pieceId }) => pieceId)}
            rows={leadRows(net)}
            last={last}
            isSigned={isSigned}
            afterwards={() => {
              steps.again();
              bench.again();
            }}
          />
        ) : (
          <section className="paper">
            <p role={steps.why ? 'alert' : 'status'}>{steps.why ?? say('fetching the list…')}</p>
          </section>
        )}
      </div>
    </Shell>
  );
}
