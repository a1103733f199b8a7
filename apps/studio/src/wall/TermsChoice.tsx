import { useState } from 'react';
import type { WindowPanel } from '../platform/api/windows.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';

/** Which of the terms that were found here are shown: one, several, or any. */
export function TermsChoice({
  panels,
  terms,
  wordsOf,
  onTerms,
}: {
  panels: readonly WindowPanel[];
  terms: readonly string[];
  wordsOf: (term: string) => string;
  onTerms: (terms: readonly string[]) => void;
}) {
  const [open, setOpen] = useState(false);
  const counts = new Map<string, number>();
  for (const panel of panels)
    for (const [term, count] of Object.entries(panel.terms))
      counts.set(term, (counts.get(term) ?? 0) + count);
  // A chosen term that is nowhere on this day stays to be taken off.
  const listed = [...new Set([...counts.keys(), ...terms])].sort((a, b) =>
    wordsOf(a) < wordsOf(b) ? -1 : 1,
  );
  return (
    <span className="terms">
      :{' '}
      <button
        type="button"
        className="word"
        aria-expanded={open}
        aria-controls="terms-choice"
        onClick={() => {
          setOpen(!open);
        }}
      >
        {terms.length === 0
          ? say('any term')
          : terms.length === 1
            ? wordsOf(terms[0]!)
            : say('{terms} terms', { terms: terms.length })}
      </button>
      <fieldset
        id="terms-choice"
        className="terms-choice"
        hidden={!open}
        onKeyDown={(event) => {
          if (event.key === 'Escape') setOpen(false);
        }}
      >
        <legend>{say('terms found here')}</legend>
        {listed.length === 0 ? <p>{say('No finding is recorded here.')}</p> : null}
        <label>
          {rich('{input}any term', {
            input: (
              <input
                type="checkbox"
                checked={terms.length === 0}
                onChange={() => {
                  onTerms([]);
                }}
              />
            ),
          })}
        </label>
        {listed.map((term) => (
          <label key={term}>
            <input
              type="checkbox"
              checked={terms.includes(term)}
              onChange={(event) => {
                onTerms(
                  event.target.checked ? [...terms, term] : terms.filter((known) => known !== term),
                );
              }}
            />
            {wordsOf(term)}{' '}
            <small>
              {say('{term, plural, one {# finding} other {# findings}}', {
                term: counts.get(term) ?? 0,
              })}
            </small>
          </label>
        ))}
        <button
          type="button"
          className="quiet"
          onClick={() => {
            setOpen(false);
          }}
        >
          {say('done')}
        </button>
      </fieldset>
    </span>
  );
}
