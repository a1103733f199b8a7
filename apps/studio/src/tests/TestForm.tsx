import { type SubmitEvent, useState } from 'react';
import { TEST_KINDS, testKind } from '#libs/vocabulary';
import { recordTest, type TestBody } from '../platform/api/tests.js';
import { Cautions } from '../platform/Cautions.js';
import { say, sayWord } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { WordSelect } from '../platform/WordSelect.js';

/** A test that was made: where, how, by whom, and what came of it, or that the result is awaited. */
export function TestForm({
  siteId,
  mark,
  afterwards,
}: {
  siteId: string;
  mark: string;
  afterwards: () => void;
}) {
  const [kind, setKind] = useState('');
  const [subject, setSubject] = useState(mark);
  const [place, setPlace] = useState('');
  const [method, setMethod] = useState('');
  const [byRole, setByRole] = useState('');
  const [sample, setSample] = useState('');
  const [outcome, setOutcome] = useState('');
  const [result, setResult] = useState('');
  const { busy, why, run } = useAct();
  const known = testKind(kind);
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await recordTest(siteId, {
        subject,
        kind: kind as TestBody['kind'],
        place,
        method,
        images: [],
        ...(byRole === '' ? {} : { byRole }),
        ...(sample === '' ? {} : { sample }),
        happened: today(),
        ...(outcome === ''
          ? {}
          : { known: { outcome, evidence: [], ...(result === '' ? {} : { result }) } }),
      });
      for (const clear of [setKind, setPlace, setMethod, setSample, setOutcome, setResult])
        clear('');
      afterwards();
    });
  };
  return (
    <form className="paper stack tests" aria-label={say('Another test')} onSubmit={record}>
      <h1>{say('Another test')}</h1>
      <WordSelect
        label={say('What is tested')}
        words={TEST_KINDS}
        value={kind}
        onValue={(next) => {
          setKind(next);
          setOutcome('');
        }}
      />
      {known ? (
        <>
          <p className="hint">{sayWord(known.definition)}</p>
          <Cautions keys={known.cautions} />
        </>
      ) : null}
      <div className="two">
        <TextField
          label={say('On which piece, lead or panel')}
          required
          value={subject}
          onValue={setSubject}
        />
        <TextField
          label={say('Where on it')}
          required
          placeholder={say('lower left, painted face')}
          value={place}
          onValue={setPlace}
        />
        <TextField label={say('How')} required value={method} onValue={setMethod} />
        <TextField
          label={say('By whom, as a trade')}
          placeholder={say('conservator')}
          value={byRole}
          onValue={setByRole}
        />
      </div>
      {known?.takesSample ? (
        <TextField
          label={say('What was taken, and where it is kept')}
          value={sample}
          onValue={setSample}
        />
      ) : null}
      {known ? (
        <div className="two">
          <WordSelect
            label={say('What came of it')}
            hint={say('left open: the result is awaited')}
            words={known.outcomes}
            value={outcome}
            onValue={setOutcome}
          />
          {outcome === '' ? null : (
            <TextField label={say('In words, with figures')} value={result} onValue={setResult} />
          )}
        </div>
      ) : null}
      <Refusal why={why} />
      <button type="submit" className="act" disabled={busy || kind === ''}>
        {say('Record the test')}
      </button>
    </form>
  );
}
