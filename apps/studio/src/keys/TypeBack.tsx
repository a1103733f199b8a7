import { type SubmitEvent, useState } from 'react';
import { keepRecoverySheet } from '../platform/api/keys.js';
import { say } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';

/** Two words from the printed page, by chance; the words themselves are not on the screen. */
export function TypeBack({
  count,
  done,
  back,
}: {
  count: number;
  done: () => void;
  back: () => void;
}) {
  const [numbers] = useState(() => twoOf(count));
  const [typed, setTyped] = useState<readonly string[]>(['', '']);
  const { busy, why, field, run } = useAct();
  const send = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await keepRecoverySheet(numbers.map((number, at) => ({ number, word: typed[at] ?? '' })));
      done();
    });
  };
  return (
    <form className="paper stack" onSubmit={send}>
      <div>
        <h1>{say('Two words from the page')}</h1>
        <p className="sub">
          {say('Read them off the printed sheet, to be sure that it can be read.')}
        </p>
      </div>
      {numbers.map((number, at) => (
        <TextField
          key={number}
          label={say('Word {number}', { number })}
          required
          autoComplete="off"
          autoCapitalize="off"
          autoCorrect="off"
          spellCheck={false}
          aria-invalid={field === `word ${number}`}
          value={typed[at]!}
          onValue={(value) => {
            setTyped((before) => before.map((one, i) => (i === at ? value : one)));
          }}
        />
      ))}
      <Refusal why={why} />
      <div className="row">
        <button type="submit" disabled={busy}>
          {busy ? say('Destroying the words…') : say('Destroy the words here')}
        </button>
        <button type="button" className="quiet" onClick={back}>
          {say('Back to the sheet')}
        </button>
      </div>
    </form>
  );
}

/** Two different numbers from 1 to `count`, in order. */
function twoOf(count: number): readonly [number, number] {
  const first = 1 + Math.floor(Math.random() * count);
  const other = 1 + Math.floor(Math.random() * (count - 1));
  const second = other < first ? other : other + 1;
  return first < second ? [first, second] : [second, first];
}
