import { useState } from 'react';
import {
  type RefixBody,
  recordRefix,
  refixMany,
  type SequenceStep,
} from '../platform/api/custody.js';
import { say } from '../platform/language/say.js';
import { NumberField, numberGiven } from '../platform/NumberField.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { ManyPanels } from './ManyPanels.js';
import { TurnForm } from './TurnForm.js';

/** The next panel from the bottom up, and how it is held. */
export function PutBackPaper({
  steps,
  windowId,
  mark,
  afterwards,
}: {
  steps: readonly SequenceStep[];
  windowId: string;
  mark: string;
  afterwards: () => void;
}) {
  const out = steps.filter(({ workState }) => workState !== 'in-place');
  const [asked, setAsked] = useState<string | null>(null);
  const [gap, setGap] = useState('');
  const [ties, setTies] = useState('');
  const [pointing, setPointing] = useState('');
  const [also, setAlso] = useState<ReadonlySet<string>>(new Set());
  const act = useAct();
  const chosen =
    out.find((step) => step.mark === asked) ??
    out.find(({ workState }) => workState === 'rebuilt') ??
    out[0];
  if (chosen === undefined)
    return <p>{say('Every panel of {mark} stands in its opening.', { mark })}</p>;
  const record = () => {
    void act.run(async () => {
      const body: Partial<RefixBody> = { happened: today() };
      const gapMm = numberGiven(gap);
      const count = numberGiven(ties);
      if (gapMm !== undefined) body.ventilationGapMm = gapMm;
      if (count !== undefined) body.ties = { count };
      if (pointing !== '') body.pointing = { with: pointing };
      const others = [...also].filter((one) => one !== chosen.mark);
      if (others.length === 0) await recordRefix(chosen.panelId, body);
      else await refixMany(windowId, { ...body, panels: [chosen.mark, ...others] });
      setAlso(new Set());
      setAsked(null);
      afterwards();
    });
  };
  return (
    <TurnForm
      label={say('Put back {mark}', { mark: chosen.mark })}
      steps={out}
      chosen={chosen}
      onChosen={setAsked}
      warnings={[
        chosen.waitsFor.length === 0
          ? null
          : say(
              '{others} below it not in yet. From the bottom up; what is done otherwise is flagged.',
              { others: chosen.waitsFor.join(', ') },
            ),
        chosen.workState === 'rebuilt'
          ? null
          : say('Nobody has closed the list of the rebuild for this panel.'),
      ]}
      hazards={say('Height and lifting')}
      cautions={['height', 'lifting']}
      deed={
        also.size === 0
          ? say('{mark} is back in its opening', { mark: chosen.mark })
          : say('{mark} and {count, plural, one {# other} other {# others}} are back', {
              mark: chosen.mark,
              count: also.size,
            })
      }
      act={act}
      onSubmit={record}
    >
      <ManyPanels
        legend={say('Others of which the same holds')}
        steps={out.filter((step) => step.mark !== chosen.mark)}
        chosen={also}
        onChosen={setAlso}
      />
      <NumberField label={say('Ties')} value={ties} onValue={setTies} />
      <TextField
        label={say('Pointed with')}
        hint={say('lime mortar, mastic; with its batch')}
        value={pointing}
        onValue={setPointing}
      />
      <NumberField label={say('Gap to the protective glazing, mm')} value={gap} onValue={setGap} />
    </TurnForm>
  );
}
