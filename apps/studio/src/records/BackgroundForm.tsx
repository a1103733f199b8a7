import { type SubmitEvent, useState } from 'react';
import { type Background, describeBackground } from '../platform/api/backgrounds.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';

/** The whole of what is said of one place; an empty field says nothing. */
export function BackgroundForm({
  siteId,
  mark,
  before,
  afterwards,
}: {
  siteId: string;
  mark: string;
  before: Background | undefined;
  afterwards: () => void;
}) {
  const [keeper, setKeeper] = useState(before?.keeper ?? '');
  const [protection, setProtection] = useState(before?.protection ?? '');
  const [happened, setHappened] = useState(before?.made?.happened ?? '');
  const [by, setBy] = useState(before?.made?.by ?? '');
  const [source, setSource] = useState(before?.made?.source ?? '');
  const [technique, setTechnique] = useState(before?.technique ?? '');
  const { busy, why, field, run } = useAct();
  const send = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const said = {
        ...(keeper === '' ? {} : { keeper }),
        ...(protection === '' ? {} : { protection }),
        ...(happened === ''
          ? {}
          : {
              made: {
                happened,
                ...(by === '' ? {} : { by }),
                ...(source === '' ? {} : { source }),
              },
            }),
        ...(technique === '' ? {} : { technique }),
      };
      await describeBackground(siteId, mark, said, before?.version ?? null);
      afterwards();
    });
  };
  const needsDate = by !== '' || source !== '';
  return (
    <form className="stack" onSubmit={send} aria-label={say('Say what is known')}>
      <p className="hint">
        {rich('Of {mark} itself; what is left empty is taken from what it lies in.', { mark })}
      </p>
      <TextField
        label={say('Kept by')}
        hint={say('the body or office that may decide; no private person’s name')}
        maxLength={200}
        value={keeper}
        onValue={setKeeper}
      />
      <TextField
        label={say('Protection')}
        hint={say('list and number, and who must be asked before anything is done')}
        rows={2}
        value={protection}
        onValue={setProtection}
      />
      <div className="two">
        <TextField
          label={say('Made, when')}
          hint="1903, 1890~, 1870/1890"
          required={needsDate}
          aria-invalid={field === 'made.happened'}
          value={happened}
          onValue={setHappened}
        />
        <TextField
          label={say('Made by')}
          hint={say('designer, painter or workshop of that time')}
          maxLength={200}
          value={by}
          onValue={setBy}
        />
      </div>
      <TextField
        label={say('How is it known?')}
        hint={say('inscription, invoice, style…')}
        maxLength={200}
        value={source}
        onValue={setSource}
      />
      <TextField
        label={say('How it is made')}
        hint={say('glass, paint, stain, lead, in a sentence')}
        rows={2}
        value={technique}
        onValue={setTechnique}
      />
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('Keep it')}
        </button>
      </div>
    </form>
  );
}
