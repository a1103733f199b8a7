import { type SubmitEvent, useState } from 'react';
import { type Proposal, sendProposal } from '../platform/api/works.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';

const ways = ['program', 'letter', 'by-hand'] as const;
const wayWords: Readonly<Record<(typeof ways)[number], string>> = {
  program: say('by a link to this page'),
  letter: say('by letter'),
  'by-hand': say('by hand'),
};

/** A draft goes out. Whoever answers by the link needs the role approver at this site. */
export function SendForm({ proposal, afterwards }: { proposal: Proposal; afterwards: () => void }) {
  const [how, setHow] = useState<(typeof ways)[number]>('program');
  const [to, setTo] = useState('');
  const { busy, why, run } = useAct();
  const send = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await sendProposal(proposal.issueId, { how, to, happened: today() });
      afterwards();
    });
  };
  return (
    <form className="stack" onSubmit={send} aria-label={say('Send it')}>
      <OneOf
        legend={say('How it goes out')}
        options={ways}
        value={how}
        onValue={setHow}
        words={(one) => wayWords[one]}
      />
      {how === 'program' ? (
        <p className="hint">
          {say(
            'Send the address of this page. Whoever answers signs in with the role approver at this site; a keeper gives it under “people”.',
          )}
        </p>
      ) : null}
      <TextField label={say('To whom')} required value={to} onValue={setTo} />
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {say('It goes out today')}
        </button>
      </div>
    </form>
  );
}
