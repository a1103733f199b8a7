import { useId, useState } from 'react';
import type { Term } from '../platform/api/findings.js';
import { Swatch } from './Swatch.js';
import { termKinds, termLook, termWords } from './term-look.js';

/** Every term of the vocabulary; typing narrows it, a number key takes one of the first nine. */
export function TermPicker({
  terms,
  onPick,
}: {
  terms: readonly Term[];
  onPick: (term: Term) => void;
}) {
  const [typed, setTyped] = useState('');
  const id = useId();
  const shown = terms.filter((term) =>
    `${termWords(terms, term.term)} ${term.term} ${term.definition ?? ''}`
      .toLowerCase()
      .includes(typed.trim().toLowerCase()),
  );
  return (
    <div className="stack">
      <div className="field">
        <label htmlFor={id}>Term</label>
        <input
          id={id}
          value={typed}
          autoComplete="off"
          placeholder="type a word, or a number from the list"
          onChange={(event) => {
            setTyped(event.target.value);
          }}
          onKeyDown={(event) => {
            const digit = Number(event.key);
            const picked =
              event.key === 'Enter'
                ? shown[0]
                : typed === '' && digit > 0
                  ? shown[digit - 1]
                  : undefined;
            if (!picked) return;
            event.preventDefault();
            onPick(picked);
          }}
        />
      </div>
      <ol className="lines tall terms">
        {shown.map((term, index) => (
          <li key={term.term}>
            <Swatch look={termLook(terms, term.term)} kind={termKinds(term)[0] ?? 'point'} />
            <button
              type="button"
              className="word"
              title={term.definition}
              onClick={() => {
                onPick(term);
              }}
            >
              {termWords(terms, term.term)}
            </button>
            <span>{index < 9 ? index + 1 : ''}</span>
          </li>
        ))}
      </ol>
    </div>
  );
}
