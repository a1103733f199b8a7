import { type ReactNode, useState } from 'react';
import { readFingerprint } from '#libs/ledger';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { keepCompared } from './kept-heads.js';

interface Props {
  /** where the fingerprint that is typed comes from */
  readonly label: string;
  readonly hint: string;
  /** what the key that is shown has */
  readonly fingerprint: string;
  /** said when the one that is typed is another */
  readonly other: string;
  /** called once it is remembered that both are one */
  readonly onSame: () => void | Promise<void>;
  /** the button */
  readonly children: ReactNode;
}

/** A fingerprint that came another way than from the archive, against the one it shows. */
export function FingerprintForm({ label, hint, fingerprint, other, onSame, children }: Props) {
  const { state } = useSession();
  const [typed, setTyped] = useState('');
  const [why, setWhy] = useState<string>();
  const compare = async () => {
    const reading = readFingerprint(typed);
    if (!reading.ok) setWhy(`${reading.reason}.`);
    else if (reading.fingerprint !== fingerprint) setWhy(other);
    else {
      await keepCompared(state.archive.id, { fingerprint, comparedAt: new Date().toISOString() });
      await onSame();
    }
  };
  return (
    <form
      className="stack"
      onSubmit={(event) => {
        event.preventDefault();
        void compare();
      }}
    >
      <TextField
        label={label}
        hint={hint}
        required
        autoComplete="off"
        spellCheck={false}
        value={typed}
        onValue={setTyped}
      />
      <Refusal why={why} />
      <div className="row">{children}</div>
    </form>
  );
}
