import { useId, useState } from 'react';
import { type FindingTerm, TERM_GROUPS } from '#libs/vocabulary';
import { say, sayWord } from '../platform/language/say.js';
import { Swatch } from './Swatch.js';

/** Every term of the vocabulary; words narrow it, the two letters of a term take it at once. */
export function TermPicker({
  terms,
  onPick,
}: {
  terms: readonly FindingTerm[];
  onPick: (term: FindingTerm) => void;
}) {
  const [typed, setTyped] = useState('');
  const id = useId();
  const words = typed.trim().toLowerCase();
  const shown = terms.filter(
    (term) =>
      term.shortcut.startsWith(words) ||
      `${term.label} ${term.definition} ${term.key}`.toLowerCase().includes(words),
  );
  const exact = terms.find((term) => term.shortcut === words);
  return (
    <div className="stack">
      <div className="field">
        <label htmlFor={id}>{say('Term')}</label>
        <input
          id={id}
          value={typed}
          autoComplete="off"
          autoCapitalize="off"
          placeholder={say('a word, or the two letters of a term')}
          onChange={(event) => {
            setTyped(event.target.value);
          }}
          onKeyDown={(event) => {
            const picked = exact ?? shown[0];
            if (event.key !== 'Enter' || !picked) return;
            event.preventDefault();
            onPick(picked);
          }}
        />
      </div>
      {Object.entries(TERM_GROUPS).map(([group, { label }]) => {
        const inGroup = shown.filter((term) => term.group === group);
        return inGroup.length === 0 ? null : (
          <div key={group}>
            <h3>{sayWord(label)}</h3>
            <ul className="lines terms">
              {inGroup.map((term) => (
                <li key={term.key}>
                  <Swatch term={term} kind={term.geometries[0] ?? 'point'} />
                  <button
                    type="button"
                    className="word"
                    title={term.definition}
                    onClick={() => {
                      onPick(term);
                    }}
                  >
                    {term.label}
                  </button>
                  <kbd>{term.shortcut}</kbd>
                </li>
              ))}
            </ul>
          </div>
        );
      })}
    </div>
  );
}
