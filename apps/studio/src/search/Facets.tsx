import type { Counted, SearchAnswer } from '../platform/api/search.js';
import { say } from '../platform/language/say.js';
import { sayCount } from '../platform/say-number.js';
import { withFilter } from './asked.js';
import { FACET_WORDS, sayValue } from './labels.js';

export const COUNTED_MAX = 10_000;
const SHOWN = 7;

/** How many hits bear each value; a press asks for that value. */
export function Facets({
  answer,
  words,
  onGo,
}: {
  answer: SearchAnswer;
  words: URLSearchParams;
  onGo: (words: URLSearchParams) => void;
}) {
  const { facets, total } = answer;
  if (facets === null || total === null || total === 0) return null;
  const atLeast = total > COUNTED_MAX;
  const press = (name: string, filter: string, { value }: Counted) => {
    if (name !== 'decade') return withFilter(words, filter, value);
    const date = `${value.slice(0, 3)}X`;
    return withFilter(withFilter(words, 'from', date), 'to', date);
  };
  const groups = FACET_WORDS.flatMap(([name, label, filter]) => {
    const values = (facets[name] ?? []).filter(({ value }) => value !== 'long');
    return values.length === 0 ? [] : [{ name, label, filter, values }];
  });
  return (
    <section className="facets" aria-label={say('Counts')}>
      {groups.map(({ name, label, filter, values }) => (
        <details key={name} open={!matchMedia('(max-width: 700px)').matches}>
          <summary>{label}</summary>
          <ul>
            {values.slice(0, SHOWN).map((one) => (
              <li key={one.value}>
                <button
                  type="button"
                  className="facet"
                  onClick={() => {
                    onGo(press(name, filter, one));
                  }}
                >
                  <span>{sayValue(name, one.value)}</span>
                  <span className="count">
                    {atLeast
                      ? say('{count}+', { count: sayCount(one.count) })
                      : sayCount(one.count)}
                  </span>
                </button>
              </li>
            ))}
          </ul>
        </details>
      ))}
    </section>
  );
}
