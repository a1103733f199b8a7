import { testKind } from '#libs/vocabulary';
import { readTests, type Test } from '../platform/api/tests.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import { AnswerTest } from './AnswerTest.js';
import { TestForm } from './TestForm.js';
import './tests.css';

/** Tests of paint, cleaning, putty and lead at one place: what was found, what is awaited, and another. */
export function TestsRoom({ siteId, mark }: { siteId: string; mark: string }) {
  const tests = useAnswer(`tests ${mark}`, (signal) => readTests(siteId, mark, signal));
  const standing = tests.value?.filter(({ state }) => state === 'recorded');
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
            <ul>
              {standing.map((test) => (
                <li key={test.testId}>
                  <TestWords test={test} />
                  {test.outcome === null ? (
                    <AnswerTest test={test} afterwards={tests.again} />
                  ) : null}
                </li>
              ))}
            </ul>
          )}
        </section>
        <TestForm siteId={siteId} mark={mark} afterwards={tests.again} />
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
      {test.result === null ? null : <p>{test.result}</p>}
      {test.outcome === null && kind ? <p className="warn">{sayWord(kind.untilKnown)}</p> : null}
    </>
  );
}
