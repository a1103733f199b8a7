import { type SubmitEvent, useState } from 'react';
import { recordFile } from '../platform/api/dossiers.js';
import { resolveMark } from '../platform/api/sites.js';
import { readRecordVersion, signTreatment } from '../platform/api/works.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';

/** A name under the treatment record of one panel, in the version that was read. */
export function SignPaper({ mark }: { mark: string }) {
  const version = useAnswer(`record ${mark}`, (signal) => readRecordVersion(mark, signal));
  const [qualification, setQualification] = useState('');
  const [said, setSaid] = useState<string | null>(null);
  const { busy, why, run } = useAct();
  const sign = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const { panelId } = await resolveMark(mark);
      await signTreatment(panelId!, {
        recordVersion: version.value!,
        happened: today(),
        ...(qualification === '' ? {} : { qualification }),
      });
      setSaid(say('Signed; the record as you read it is kept.'));
      version.again();
    });
  };
  return (
    <form className="paper stack" onSubmit={sign} aria-label={say('Sign for {mark}', { mark })}>
      <h2>{say('Sign for {mark}', { mark })}</h2>
      <p>
        <a
          className="act quiet"
          href={recordFile('treatment', mark, 'html')}
          target="_blank"
          rel="noreferrer"
        >
          {say('Read the treatment record')}
        </a>
      </p>
      <TextField
        label={say('Your qualification')}
        value={qualification}
        onValue={setQualification}
      />
      <Refusal why={why ?? version.why} />
      <div className="row">
        <button type="submit" disabled={busy || version.value === undefined}>
          {say('I have read it and sign')}
        </button>
        <span role="status">{said}</span>
      </div>
    </form>
  );
}
