import { testKind } from '#libs/vocabulary';
import { readDrawing } from '../bench/read-drawing.js';
import { readPanel, readPieces } from '../platform/api/panels.js';
import type { MarkPlace } from '../platform/api/sites.js';
import { readTests, type Test } from '../platform/api/tests.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import { AnswerTest } from './AnswerTest.js';
import { TestForm } from './TestForm.js';
import { TestPicture } from './TestPictures.js';
import './tests.css';

/** Tests of paint, cleaning, putty and lead at one place: what was found, what is awaited, and another. */
export function TestsRoom({ at, mark }: { at: MarkPlace; mark: string }) {
  const { siteId } = at;
  const panelId = at.panelId ?? null;
  const on = useAnswer(`tested ${panelId ?? ''}`, async (signal) => {
    if (panelId === null) return null;
    const [panel, pieces] = await Promise.all([
      readPanel(panelId, signal),
      readPieces(panelId, signal),
    ]);
    return {
      panel,
      pieces: pieces.filter(({ retired }) => !retired),
      net: await readDrawing(panel, pieces, signal),
    };
  });
  const tests = useAnswer(`tests ${mark}`, (signal) => readTests(siteId, mark, signal));
  const standing = tests.value?.filter(({ state }) => state === 'recorded');
  const placed = (standing ?? []).flatMap(({ testId, atMm }, i) =>
    atMm === null ? [] : [{ testId, number: i + 1, atMm: [atMm[0], atMm[1]] as const }],
  );
  return (
    <Shell mark={mark} sentence={<>{rich('tests on {b}', { b: <b>{mark}</b> })}</>}>
      <div className="scroll">
        <section className="paper stack tests" aria-label={say('Tests made')}>
          <h1>{say('Tests on {mark}', { mark })}</h1>
          {standing === undefined ? (
            <p role={tests.why ? 'alert' : 'status'}>{tests.why ?? say('fetching the tests…')}</p>
          ) : standing.length === 0 ? (
            <p>{say('Nothing was tested here yet.')}</p>
          ) : (
            <ol>
              {standing.map((test) => (
                <li key={test.testId}>
                  <TestWords test={test} />
                  {test.outcome === null ? (
                    <AnswerTest test={test} afterwards={tests.again} />
                  ) : null}
                </li>
              ))}
            </ol>
          )}
        </section>
        {on.value === undefined ? (
          <section className="paper">
            <p role={on.why ? 'alert' : 'status'}>{on.why ?? say('fetching the drawing…')}</p>
          </section>
        ) : (
          <TestForm
            siteId={siteId}
            mark={mark}
            on={on.value}
            placed={placed}
            afterwards={() => {
              tests.again();
              on.again();
            }}
          />
        )}
      </div>
    </Shell>
  );
}

function TestWords({ test }: { test: Test }) {
  const kind = testKind(test.kind);
  const outcome = kind?.outcomes.find(({ key }) => key === test.outcome);
  return (
    <>
      <h2>
        {sayWord(kind?.label ?? test.kind)}:{' '}
        {outcome === undefined ? say('result awaited') : sayWord(outcome.label)}
      </h2>
      <p>
        {[test.subject, test.place, test.method, test.happened, test.byRole, test.sample]
          .filter((part) => part !== null && part !== '')
          .join(' · ')}
      </p>
      {test.images.length === 0 ? null : (
        <p className="test-pictures">
          {test.images.map((mediaId) => (
            <TestPicture key={mediaId} mediaId={mediaId} />
          ))}
        </p>
      )}
      {test.result === null ? null : <p>{test.result}</p>}
      {test.outcome === null && kind ? <p className="warn">{sayWord(kind.untilKnown)}</p> : null}
    </>
  );
}
