import { say } from '../platform/language/say.js';
import { FILTERS, withoutFilter } from './asked.js';
import { sayFilter } from './labels.js';

/** What was understood or chosen, each to be taken away. */
export function Chips({
  words,
  siteWords,
  onGo,
}: {
  words: URLSearchParams;
  siteWords: (siteId: string) => string;
  onGo: (words: URLSearchParams) => void;
}) {
  const standing = FILTERS.filter((name) => words.has(name));
  if (standing.length === 0) return null;
  return (
    <ul className="chips" aria-label={say('Understood as')}>
      {standing.map((name) => {
        const said =
          name === 'site' ? siteWords(words.get(name)!) : sayFilter(name, words.getAll(name));
        return (
          <li key={name}>
            <button
              type="button"
              className="chip"
              aria-label={say('take away: {said}', { said })}
              onClick={() => {
                onGo(withoutFilter(words, name));
              }}
            >
              {said} <span aria-hidden="true">×</span>
            </button>
          </li>
        );
      })}
    </ul>
  );
}
