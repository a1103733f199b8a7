import { type SubmitEvent, useState } from 'react';
import { testKind } from '#libs/vocabulary';
import { answerTest, type Test } from '../platform/api/tests.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { WordSelect } from '../platform/WordSelect.js';

/** The result that was waited for. */
export function AnswerTest({ test, afterwards }: { test: Test; afterwards: () => void }) {
  const [outcome, setOutcome] = useState('');
  const [result, setResult] = useState('');
  const { busy, why, run } = useAct();
  return (
    <form
      className="stack"
      aria-label={say('Result of the test on {mark}', { mark: test.subject })}
      onSubmit={(event: SubmitEvent) => {
        event.preventDefault();
        void run(async () => {
          await answerTest(test.testId, {
            outcome,
            ...(result === '' ? {} : { result }),
            evidence: [],
            happened: today(),
          });
          afterwards();
        });
      }}
    >
      <div className="two">
        <WordSelect
          label={say('What came of it')}
          words={testKind(test.kind)?.outcomes ?? []}
          value={outcome}
          onValue={setOutcome}
        />
        <TextField label={say('In words, with figures')} value={result} onValue={setResult} />
      </div>
      <Refusal why={why} />
      <button type="submit" className="quiet" disabled={busy || outcome === ''}>
        {say('The result is in')}
      </button>
    </form>
  );
}
