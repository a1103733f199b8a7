import { type SubmitEvent, useState } from 'react';
import { operationLabel, readOperations } from '../platform/api/findings.js';
import {
  type Campaign,
  readMaterials,
  readWork,
  recordTime,
  recordWork,
} from '../platform/api/works.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField, numberGiven } from '../platform/NumberField.js';
import { OperationChoice } from '../platform/OperationChoice.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { LastWork } from './LastWork.js';
import { MaterialChoice, type MaterialSaid, materialSaid, noMaterial } from './MaterialChoice.js';
import { marksIn } from './marks-in.js';

/** The bench's log: what, on which pieces, with what, how long. What stood there before stays for the next. */
export function LogPaper({
  campaign,
  chosen,
  clear,
}: {
  campaign: Campaign;
  chosen: readonly string[];
  clear: () => void;
}) {
  const { siteId, campaignId } = campaign;
  const operations = useAnswer('operations', readOperations);
  const materials = useAnswer('materials', readMaterials);
  const done = useAnswer(`campaign work ${campaignId}`, (signal) => readWork(siteId, signal));
  const [operation, setOperation] = useState('');
  const [typed, setTyped] = useState('');
  const [material, setMaterial] = useState<MaterialSaid>(noMaterial);
  const [minutes, setMinutes] = useState('');
  const [reason, setReason] = useState('');
  const [note, setNote] = useState('');
  const [happened, setHappened] = useState(today());
  const [said, setSaid] = useState<string | null>(null);
  const { busy, why, field, run } = useAct();
  const known = operations.value?.find((one) => one.operation === operation);
  const here = (done.value ?? []).filter((one) => one.campaignId === campaignId);
  const often = [...new Set(here.map((one) => one.operation))].slice(0, 4);
  const words = (key: string) => operationLabel(operations.value, key);

  const record = (event: SubmitEvent) => {
    event.preventDefault();
    setSaid(null);
    void run(async () => {
      const took = numberGiven(minutes);
      const work = await recordWork(siteId, {
        campaignId,
        operation,
        happened,
        subjects: [...chosen, ...marksIn(typed)],
        materials: materialSaid(material),
        images: [],
        ...(reason === '' ? {} : { reason }),
        ...(note === '' ? {} : { note }),
      });
      if (took !== undefined) {
        const { interventionId } = work;
        await recordTime(campaignId, {
          interventionId,
          minutes: Math.max(1, Math.round(took)),
          task: operation,
          happened,
        });
      }
      setSaid(say('{work} is in the archive.', { work: words(operation) }));
      setTyped('');
      setReason('');
      setNote('');
      setMinutes('');
      clear();
      done.again();
      materials.again();
    });
  };
  return (
    <>
      <form className="paper stack" onSubmit={record} aria-label={say('Write work down')}>
        <h1>{say('Write work down')}</h1>
        {often.length > 0 ? (
          <div className="row" role="group" aria-label={say('Done before')}>
            {often.map((key) => (
              <button
                key={key}
                type="button"
                className="quiet"
                aria-pressed={key === operation}
                onClick={() => {
                  setOperation(key);
                }}
              >
                {words(key)}
              </button>
            ))}
          </div>
        ) : null}
        <OperationChoice
          operations={operations.value ?? []}
          value={operation}
          onValue={setOperation}
        />
        <TextField
          label={say('On')}
          hint={
            chosen.length > 0
              ? say('chosen on the drawing: {chosen}', { chosen: chosen.join(', ') })
              : say('many at once: wI.3b.17, wI.3b.18; or choose panels on the drawing')
          }
          required={chosen.length === 0}
          autoCapitalize="none"
          aria-invalid={field?.startsWith('subjects') ?? undefined}
          value={typed}
          onValue={setTyped}
        />
        <MaterialChoice register={materials.value ?? []} value={material} onValue={setMaterial} />
        <div className="two">
          <NumberField
            label={say('How long, minutes')}
            value={minutes}
            onValue={setMinutes}
            hint={say('never in a dossier that is handed out')}
          />
          <TextField
            label={say('When')}
            hint="2026-03-04, 2026-03"
            required
            aria-invalid={field === 'happened'}
            value={happened}
            onValue={setHappened}
          />
        </div>
        {known?.needsStatedReason ? (
          <TextField
            label={say('The stated reason')}
            hint={say('This is done only for a stated reason, with a consent that names it.')}
            rows={2}
            value={reason}
            onValue={setReason}
          />
        ) : null}
        <TextField label={say('Note')} rows={2} value={note} onValue={setNote} />
        <Refusal why={why} />
        <div className="row">
          <button type="submit" disabled={busy || operation === ''}>
            {say('Record it')}
          </button>
          <span role="status">{said}</span>
        </div>
      </form>
      <section className="paper" aria-label={say('Done so far')}>
        <h2>{say('Done so far')}</h2>
        {here.length === 0 ? (
          <p>{rich('Nothing is written down in {title} yet.', { title: campaign.title })}</p>
        ) : null}
        <LastWork work={here} words={words} />
      </section>
    </>
  );
}
