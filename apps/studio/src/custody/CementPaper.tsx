import { type SubmitEvent, useState } from 'react';
import { cementMany, type SequenceStep } from '../platform/api/custody.js';
import { Cautions } from '../platform/Cautions.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { ManyPanels } from './ManyPanels.js';

/** Panels cemented on one day: said once, kept in the list of each. */
export function CementPaper({
  steps,
  windowId,
  afterwards,
}: {
  steps: readonly SequenceStep[];
  windowId: string;
  afterwards: () => void;
}) {
  const atBench = steps.filter(({ workState }) => workState === 'on-bench');
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [on, setOn] = useState(today);
  const [cement, setCement] = useState('');
  const [cureUntil, setCureUntil] = useState('');
  const [said, setSaid] = useState<number | null>(null);
  const { busy, why, run } = useAct();
  if (atBench.length === 0)
    return <p>{say('No panel of this window is being worked on at the bench.')}</p>;
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await cementMany(windowId, {
        panels: [...chosen],
        on,
        cureUntil,
        ...(cement === '' ? {} : { with: cement }),
      });
      setSaid(chosen.size);
      setChosen(new Set());
      afterwards();
    });
  };
  return (
    <form aria-label={say('Cemented panels')} onSubmit={record}>
      <ManyPanels
        legend={say('Choose the panels that were cemented')}
        steps={atBench}
        chosen={chosen}
        onChosen={setChosen}
      />
      <TextField
        label={say('Cemented on')}
        hint={say('a day: 2026-05-04')}
        required
        value={on}
        onValue={setOn}
      />
      <TextField
        label={say('Cement, with its batch')}
        placeholder={say('linseed oil putty, batch 7')}
        value={cement}
        onValue={setCement}
      />
      <TextField
        label={say('Not moved before')}
        hint={say('a day: 2026-05-04')}
        required
        value={cureUntil}
        onValue={setCureUntil}
      />
      <Cautions keys={['lead-dust']} />
      <Refusal why={why} />
      {said === null ? null : (
        <p role="status">
          {say('Said in the list of {count, plural, one {# panel} other {# panels}}.', {
            count: said,
          })}
        </p>
      )}
      <button type="submit" className="act wide" disabled={busy || chosen.size === 0}>
        {say('{count, plural, one {# panel is cemented} other {# panels are cemented}}', {
          count: chosen.size,
        })}
      </button>
    </form>
  );
}
