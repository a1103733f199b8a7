import { useState } from 'react';
import {
  type RemovalBody,
  recordRemoval,
  removeMany,
  type SequenceStep,
} from '../platform/api/custody.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { pathOf } from '../platform/place.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { ManyPanels } from './ManyPanels.js';
import { TurnForm } from './TurnForm.js';

const facings = ['sound', 'faced', 'not-faced'] as const;
type Facing = (typeof facings)[number];

/** By the scaffold: the next panel from the top down, what must be said of it, and out it is. */
export function TakeOutPaper({
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
  const inPlace = steps.filter(({ workState }) => workState === 'in-place');
  const [asked, setAsked] = useState<string | null>(null);
  const chosen = inPlace.find((step) => step.mark === asked) ?? inPlace[0];
  if (chosen === undefined) return <p>{say('Every panel of this window is out.')}</p>;
  return (
    <TakeOut
      key={chosen.mark}
      steps={inPlace}
      chosen={chosen}
      windowId={windowId}
      mark={mark}
      onChosen={setAsked}
      afterwards={afterwards}
    />
  );
}

function TakeOut({
  steps,
  chosen,
  windowId,
  mark,
  onChosen,
  afterwards,
}: {
  steps: readonly SequenceStep[];
  chosen: SequenceStep;
  windowId: string;
  mark: string;
  onChosen: (mark: string | null) => void;
  afterwards: () => void;
}) {
  const [facing, setFacing] = useState<Facing | null>(null);
  const [how, setHow] = useState('');
  const [support, setSupport] = useState('');
  const [tagOn, setTagOn] = useState<'lead' | 'board' | null>(null);
  const [face, setFace] = useState<'inside' | 'outside' | null>(null);
  const [note, setNote] = useState('');
  const [also, setAlso] = useState<ReadonlySet<string>>(new Set());
  const act = useAct();
  const facingWords: Readonly<Record<Facing, string>> = {
    sound: say('tested, sound'),
    faced: say('faced'),
    'not-faced': say('not faced'),
  };
  const record = () => {
    void act.run(async () => {
      const body: Partial<RemovalBody> = { happened: today() };
      if (facing === 'sound') body.facing = { state: 'sound' };
      if (facing === 'faced') body.facing = { state: 'faced', how };
      if (facing === 'not-faced') body.facing = { state: 'not-faced', because: how };
      if (support !== '') body.support = support;
      if (tagOn !== null && face !== null) body.tag = { on: tagOn, upArrow: true, face };
      if (note !== '') body.note = note;
      if (also.size === 0) await recordRemoval(chosen.panelId, body);
      else await removeMany(windowId, { ...body, panels: [chosen.mark, ...also] });
      onChosen(null);
      afterwards();
    });
  };
  return (
    <TurnForm
      label={say('Take out {mark}', { mark: chosen.mark })}
      steps={steps}
      chosen={chosen}
      onChosen={onChosen}
      warnings={[
        chosen.waitsFor.length === 0
          ? null
          : say(
              '{others} still stand on it. From the top down; what is done otherwise is flagged.',
              { others: chosen.waitsFor.join(', ') },
            ),
      ]}
      hazards={say('Height, lifting, broken glass')}
      cautions={['height', 'lifting', 'broken-glass', 'lead-dust']}
      deed={
        also.size === 0
          ? say('{mark} is out', { mark: chosen.mark })
          : say('{mark} and {count, plural, one {# other} other {# others}} are out', {
              mark: chosen.mark,
              count: also.size,
            })
      }
      act={act}
      onSubmit={record}
    >
      <ManyPanels
        legend={say('Others of which the same holds')}
        steps={steps.filter((step) => step.mark !== chosen.mark)}
        chosen={also}
        onChosen={setAlso}
      />
      <OneOf
        legend={say('Loose paint and cracks')}
        options={facings}
        value={facing}
        onValue={setFacing}
        words={(one) => facingWords[one]}
      />
      {facing === 'faced' || facing === 'not-faced' ? (
        <TextField
          label={facing === 'faced' ? say('With what, and where') : say('Why not')}
          required
          value={how}
          onValue={setHow}
        />
      ) : null}
      <TextField
        label={say('What holds it to its shape')}
        hint={say('a board, padding, slings')}
        value={support}
        onValue={setSupport}
      />
      <OneOf
        legend={say('Tag with up-arrow, never on glass')}
        options={['lead', 'board'] as const}
        value={tagOn}
        onValue={setTagOn}
        words={(one) => (one === 'lead' ? say('on the lead') : say('on the board'))}
      />
      <OneOf
        legend={say('The tag lies on the')}
        options={['inside', 'outside'] as const}
        value={face}
        onValue={setFace}
        words={(one) => (one === 'inside' ? say('inside face') : say('outside face'))}
      />
      <p className="row also">
        <Go className="word" to={pathOf(`${mark}.${chosen.mark}`, 'send')}>
          {say('photograph it, face up with its tag')}
        </Go>
      </p>
      <TextField label={say('What came loose or broke')} rows={2} value={note} onValue={setNote} />
    </TurnForm>
  );
}
