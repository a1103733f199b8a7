import { type SubmitEvent, useState } from 'react';
import { Proven } from '../ledger/Proven.js';
import { operationLabel, readOperations } from '../platform/api/findings.js';
import { readInterventions, recordIntervention } from '../platform/api/interventions.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { OperationChoice } from '../platform/OperationChoice.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayMarks } from '../platform/say-marks.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';

/** The list of interventions and the form for one more, past or present. */
export function WorkPaper({
  siteId,
  mark,
  afterwards,
}: {
  siteId: string;
  mark: string;
  afterwards: () => void;
}) {
  const done = useAnswer(`work ${mark}`, (signal) => readInterventions(siteId, mark, signal));
  const operations = useAnswer('operations', readOperations);
  const [operation, setOperation] = useState('');
  const [subjects, setSubjects] = useState(mark);
  const [material, setMaterial] = useState('');
  const [byRole, setByRole] = useState('');
  const [byText, setByText] = useState('');
  const [happened, setHappened] = useState(today());
  const [evidence, setEvidence] = useState('');
  const [note, setNote] = useState('');
  const { busy, why, field, run } = useAct();
  const chosen = operations.value?.find((known) => known.operation === operation);
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await recordIntervention(siteId, {
        subjects: subjects.split(/[\s,]+/).filter((subject) => subject !== ''),
        operation,
        happened,
        ...(material === '' ? {} : { material }),
        ...(byRole === '' ? {} : { byRole }),
        ...(byText === '' ? {} : { byText }),
        ...(evidence === '' ? {} : { evidence }),
        ...(note === '' ? {} : { note }),
      });
      setMaterial('');
      setNote('');
      done.again();
      afterwards();
    });
  };
  return (
    <>
      <section className="paper" aria-label={say('Work done')}>
        <h1>{say('Work done')}</h1>
        <p className="sub">{rich('on {mark} and what is within it', { mark })}</p>
        {done.why ? <p role="alert">{done.why}</p> : null}
        {done.value?.length === 0 ? <p>{say('Nothing is recorded yet.')}</p> : null}
        <ul className="lines">
          {(done.value ?? []).map((item) => (
            <li key={item.interventionId}>
              <span>
                <b>{operationLabel(operations.value, item.operation)}</b>
                {item.material ? `, ${item.material}` : ''}
                <small className="quiet-line">
                  {sayMarks(item.subjects)}
                  {item.byRole || item.byText
                    ? say('; by {byText}', { byText: item.byText ?? item.byRole ?? '' })
                    : ''}
                  {item.note ? `; ${item.note}` : ''}
                </small>
              </span>
              <span>
                <span className="day">{item.happened ?? say('no date')}</span>{' '}
                <Proven line={siteId} place={item.entrySeq} />
              </span>
            </li>
          ))}
        </ul>
        <p className="row card-acts">
          <Go className="act quiet" to={pathOf(mark, 'papers')}>
            {say('Treatment record')}
          </Go>
          <Go className="act quiet" to={pathOf(mark)}>
            {say('Back to the drawing')}
          </Go>
        </p>
      </section>
      <form className="paper stack" onSubmit={record} aria-label={say('Record work')}>
        <h2>{say('Record work')}</h2>
        <OperationChoice
          operations={operations.value ?? []}
          value={operation}
          onValue={setOperation}
        />
        {chosen?.needsStatedReason ? (
          <p className="hint">
            {say(
              'This is done only for a stated reason and with a consent that names it: say both in the note.',
            )}
          </p>
        ) : null}
        <TextField
          label={say('On')}
          hint={say('marks, with a comma between them')}
          required
          aria-invalid={field?.startsWith('subjects') ?? undefined}
          value={subjects}
          onValue={setSubjects}
        />
        <div className="two">
          <TextField
            label={say('When')}
            hint="2026-03-04, 2026-03/2026-05, 1931~"
            required
            aria-invalid={field === 'happened'}
            value={happened}
            onValue={setHappened}
          />
          <TextField
            label={say('Material')}
            hint={say('with batch, where known')}
            value={material}
            onValue={setMaterial}
          />
        </div>
        <div className="two">
          <TextField
            label={say('By, role')}
            placeholder={say('glazier, painter…')}
            value={byRole}
            onValue={setByRole}
          />
          <TextField
            label={say('By, as written in the source')}
            value={byText}
            onValue={setByText}
          />
        </div>
        <TextField
          label={say('How is it known?')}
          hint={say('seen, inscription, invoice, earlier report…')}
          value={evidence}
          onValue={setEvidence}
        />
        <TextField label={say('Note')} rows={2} value={note} onValue={setNote} />
        <Refusal why={why} />
        <div className="row">
          <button type="submit" disabled={busy || operation === ''}>
            {say('Record it')}
          </button>
        </div>
      </form>
    </>
  );
}
