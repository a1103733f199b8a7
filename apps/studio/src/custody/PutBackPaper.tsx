import { type SubmitEvent, useState } from 'react';
import { type RefixBody, recordRefix, type SequenceStep } from '../platform/api/custody.js';
import { Cautions } from '../platform/Cautions.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { PanelChoice } from './PanelChoice.js';

/** The next panel from the bottom up, and how it is held. */
export function PutBackPaper({
  steps,
  mark,
  afterwards,
}: {
  steps: readonly SequenceStep[];
  mark: string;
  afterwards: () => void;
}) {
  const out = steps.filter(({ workState }) => workState !== 'in-place');
  const [asked, setAsked] = useState<string | null>(null);
  const [gap, setGap] = useState('');
  const [ties, setTies] = useState('');
  const [pointing, setPointing] = useState('');
  const { busy, why, run } = useAct();
  const chosen =
    out.find((step) => step.mark === asked) ??
    out.find(({ workState }) => workState === 'rebuilt') ??
    out[0];
  if (chosen === undefined)
    return <p>{say('Every panel of {mark} stands in its opening.', { mark })}</p>;
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const body: Partial<RefixBody> = { happened: today() };
      const gapMm = readNumber(gap);
      const count = readNumber(ties);
      if (gapMm !== undefined) body.ventilationGapMm = gapMm;
      if (count !== undefined) body.ties = { count };
      if (pointing !== '') body.pointing = { with: pointing };
      await recordRefix(chosen.panelId, body);
      setAsked(null);
      afterwards();
    });
  };
  return (
    <form onSubmit={record} aria-label={say('Put back {mark}', { mark: chosen.mark })}>
      <PanelChoice steps={out} chosen={chosen} onChosen={setAsked} />
      {chosen.waitsFor.length > 0 ? (
        <p className="warn" role="note">
          {say(
            '{others} below it not in yet. From the bottom up; what is done otherwise is flagged.',
            {
              others: chosen.waitsFor.join(', '),
            },
          )}
        </p>
      ) : null}
      {chosen.workState === 'rebuilt' ? null : (
        <p className="warn" role="note">
          {say('Nobody has closed the list of the rebuild for this panel.')}
        </p>
      )}
      <details className="cautions">
        <summary>{say('Height and lifting')}</summary>
        <Cautions keys={['height', 'lifting']} />
      </details>
      <NumberField label={say('Ties')} value={ties} onValue={setTies} />
      <TextField
        label={say('Pointed with')}
        hint={say('lime mortar, mastic; with its batch')}
        value={pointing}
        onValue={setPointing}
      />
      <NumberField label={say('Gap to the protective glazing, mm')} value={gap} onValue={setGap} />
      <Refusal why={why} />
      <button type="submit" className="act wide" disabled={busy}>
        {say('{mark} is back in its opening', { mark: chosen.mark })}
      </button>
    </form>
  );
}
