import { type SearchAnswer } from '../platform/api/search.js';
import type { Site } from '../platform/api/sites.js';
import { Why } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { sayCount } from '../platform/say-number.js';
import { Word } from '../platform/Word.js';
import { withFilter, withoutFilter } from './asked.js';
import { COUNTED_MAX, Facets } from './Facets.js';
import { FoundList } from './FoundList.js';
import { FoundOnDrawing } from './FoundOnDrawing.js';

/** What was found: how many, by what, and the hits as a list or on a drawing. */
export function Hits({
  answer,
  sites,
  words,
  onGo,
}: {
  answer: SearchAnswer;
  sites: readonly Site[];
  words: URLSearchParams;
  onGo: (words: URLSearchParams) => void;
}) {
  const { jump, items, total, facets, next } = answer;
  const windows = (facets?.['window'] ?? []).map(({ value }) => value);
  const onDrawing = words.get('view');
  const look = (view: string) => {
    const changed = new URLSearchParams(words);
    if (view === '') changed.delete('view');
    else changed.set('view', view);
    return changed;
  };
  const csv = new URLSearchParams(words);
  for (const name of ['view', 'after']) csv.delete(name);
  return (
    <>
      {jump ? (
        <p>
          <Go className="act" to={pathOf(jump.fullMark)}>
            {say('Go to {fullMark}', { fullMark: jump.fullMark })}
          </Go>
        </p>
      ) : null}
      <div className="row hits-head">
        {total === null ? null : (
          <>
            <p role="status">
              {total > COUNTED_MAX
                ? say('More than 10 000 hits, newest first; counts beside them say: at least.')
                : say('{count, plural, one {# hit} other {# hits}}', { count: total })}
            </p>
            <Why kind="at-least" of={say('count of hits')} />
          </>
        )}
        <a className="word" href={`/v1/search.csv?${csv.toString()}`} download="found.csv">
          {say('As a table (CSV)')}
        </a>
        {windows.length > 0 || onDrawing ? (
          <Word
            label={say('View')}
            value={onDrawing ?? ''}
            options={[
              ['', say('as a list')],
              ...[...new Set([...(onDrawing ? [onDrawing] : []), ...windows.slice(0, 30)])].map(
                (mark) => [mark, say('on the drawing of {mark}', { mark })] as const,
              ),
            ]}
            onChoose={(view) => {
              onGo(look(view));
            }}
          />
        ) : null}
        {words.has('from') || words.has('to') ? (
          <Word
            label={say('Dates')}
            value={words.get('dates') ?? 'possibly'}
            options={[
              ['possibly', say('dates that may lie within')],
              ['certainly', say('dates that cannot lie elsewhere')],
            ]}
            onChoose={(dates) => {
              onGo(
                dates === 'certainly'
                  ? withFilter(words, 'dates', dates)
                  : withoutFilter(words, 'dates'),
              );
            }}
          />
        ) : null}
      </div>
      {total === 0 ? (
        <p>
          {say(
            'Nothing is found by all of this. Take away a chip, or try fewer words; accents do not matter.',
          )}
        </p>
      ) : null}
      <div className="hits">
        <Facets answer={answer} words={words} onGo={onGo} />
        <div className="hits-body">
          {onDrawing ? (
            <FoundOnDrawing fullMark={onDrawing} sites={sites} words={words} onGo={onGo} />
          ) : (
            <FoundList items={items} />
          )}
          {next && !onDrawing ? (
            <p className="row">
              <button
                type="button"
                className="quiet"
                onClick={() => {
                  const page = new URLSearchParams(words);
                  page.set('after', next);
                  onGo(page);
                }}
              >
                {say('Further results', {})} {total === null ? '' : `(${sayCount(items.length)})`}
              </button>
            </p>
          ) : null}
        </div>
      </div>
    </>
  );
}
