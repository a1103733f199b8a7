import { type SubmitEvent, useState } from 'react';
import { beginCampaign } from '../platform/api/works.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { marksIn } from './marks-in.js';

/** One programme of work begins: what it is called, what it covers, from when on. */
export function BeginPaper({
  siteId,
  chosen,
  afterwards,
}: {
  siteId: string;
  chosen: readonly string[];
  afterwards: (campaignId: string) => void;
}) {
  const [title, setTitle] = useState('');
  const [typed, setTyped] = useState('');
  const [happened, setHappened] = useState(today());
  const { busy, why, field, run } = useAct();
  const begin = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const scope = [...chosen, ...marksIn(typed)];
      const begun = await beginCampaign(siteId, { title, scope, happened });
      afterwards(begun.campaignId);
    });
  };
  return (
    <form className="paper stack" onSubmit={begin} aria-label={say('Begin a campaign')}>
      <div>
        <h1>{say('Begin a campaign')}</h1>
        <p className="sub">
          {say('One programme of work, from survey to dossier. One person may do all of it.')}
        </p>
      </div>
      <TextField label={say('What it is called')} required value={title} onValue={setTitle} />
      <TextField
        label={say('What it covers')}
        hint={
          chosen.length > 0
            ? say('chosen on the drawing: {chosen}', { chosen: chosen.join(', ') })
            : say('choose panels on the drawing, or write marks: wI, sII.2b')
        }
        required={chosen.length === 0}
        aria-invalid={field?.startsWith('scope') ?? undefined}
        value={typed}
        onValue={setTyped}
      />
      <TextField
        label={say('From when on')}
        hint="2026-03-04, 2026-03"
        required
        aria-invalid={field === 'happened'}
        value={happened}
        onValue={setHappened}
      />
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('Begin it')}
        </button>
      </div>
    </form>
  );
}
