import './search.css';
import { type SubmitEvent, useState } from 'react';
import { type SearchAnswer, search } from '../platform/api/search.js';
import { readSites, type Site, siteMark } from '../platform/api/sites.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { sayCount } from '../platform/say-number.js';
import { TextField } from '../platform/TextField.js';
import { useAnswer } from '../platform/use-answer.js';
import { Word } from '../platform/Word.js';
import { askedOf, isAsking, withFilter, withoutFilter, withQuestion } from './asked.js';
import { Chips } from './Chips.js';
import { COUNTED_MAX, Facets } from './Facets.js';
import { FoundList } from './FoundList.js';
import { FoundOnDrawing } from './FoundOnDrawing.js';
import { KIND_WORDS } from './labels.js';
import { PastWork } from './PastWork.js';

const kinds: readonly (readonly [string, string])[] = [
  ['', say('everything')],
  ...Object.entries(KIND_WORDS),
];

/** The past, asked in plain words: what was understood stands as chips, what was found as list or on the drawing. */
export function SearchRoom({ words }: { words: URLSearchParams }) {
  const sites = useAnswer('sites', readSites);
  const isEntering = words.get('enter') === 'past';
  const asked = askedOf(words);
  const after = words.get('after');
  const found = useAnswer(
    isAsking(words) ? `search ${JSON.stringify([asked, after])}` : null,
    (signal) => search({ ...asked, after }, signal),
  );
  const go = (next: URLSearchParams) => {
    goTo(`/search?${next.toString()}`);
  };
  const choose = (name: string, value: string) => {
    go(value === '' ? withoutFilter(words, name) : withFilter(words, name, value));
  };
  const known = sites.value ?? [];
  const siteWords = (text: string) => {
    const site = known.find((one) => one.siteId === text);
    return site ? siteMark(site) : text;
  };
  return (
    <Shell
      mark={null}
      sentence={
        isEntering ? (
          say('putting past work into the archive')
        ) : (
          <>
            {rich('searching {word} at ', {
              word: (
                <Word
                  label={say('Kind')}
                  value={words.get('kind') ?? ''}
                  options={kinds}
                  onChoose={(kind) => {
                    choose('kind', kind);
                  }}
                />
              ),
            })}
            <Word
              label={say('Site')}
              value={words.get('site') ?? ''}
              options={[
                ['', say('every site')],
                ...known.map((site) => [site.siteId, siteMark(site)] as const),
              ]}
              onChoose={(site) => {
                choose('site', site);
              }}
            />
          </>
        )
      }
    >
      <div className="scroll">
        {isEntering ? (
          <PastWork sites={known} />
        ) : (
          <section className="paper wide stack">
            <QuestionForm key={words.get('q') ?? ''} words={words} onGo={go} />
            <Chips words={words} siteWords={siteWords} onGo={go} />
            {found.why ? (
              <p role="alert" className="refused">
                {found.why}
              </p>
            ) : null}
            {isAsking(words) && !found.value && !found.why ? (
              <p role="status">{say('searching…')}</p>
            ) : null}
            {found.value ? (
              <Hits answer={found.value} sites={known} words={words} onGo={go} />
            ) : null}
            {isAsking(words) ? null : (
              <p>
                <Go className="word" to="/search?enter=past">
                  {say('Enter past work from papers')}
                </Go>
              </p>
            )}
          </section>
        )}
      </div>
    </Shell>
  );
}

function QuestionForm({
  words,
  onGo,
}: {
  words: URLSearchParams;
  onGo: (words: URLSearchParams) => void;
}) {
  const [typed, setTyped] = useState(words.get('q') ?? '');
  return (
    <form
      className="search-form"
      onSubmit={(event: SubmitEvent<HTMLFormElement>) => {
        event.preventDefault();
        onGo(withQuestion(words, typed));
      }}
    >
      <TextField
        label={say('Ask the past')}
        hint={say(
          'Plain words: epoxy on sII before 2000 · who repainted faces · all pieces with two generations',
        )}
        type="search"
        value={typed}
        onValue={setTyped}
      />
      <button type="submit">{say('Search')}</button>
    </form>
  );
}

function Hits({
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
          <p role="status">
            {total > COUNTED_MAX
              ? say('More than 10 000 hits, newest first; counts beside them say: at least.')
              : say('{count, plural, one {# hit} other {# hits}}', { count: total })}
          </p>
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
