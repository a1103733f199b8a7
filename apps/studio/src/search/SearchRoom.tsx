import './search.css';
import { type SubmitEvent, useState } from 'react';
import { search } from '../platform/api/search.js';
import { readSites, siteMark } from '../platform/api/sites.js';
import { Field } from '../platform/Field.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import { Word } from '../platform/Word.js';
import { Snippet } from './Snippet.js';

const kinds = [
  ['', say('everything')],
  ['finding', say('findings')],
  ['intervention', say('work done')],
  ['media', say('pictures and papers')],
  ['piece', say('pieces')],
  ['alias', say('earlier numbers')],
] as const;
const stagesShown = [
  ['', say('any stage')],
  ['before', say('before')],
  ['during', say('during')],
  ['after', say('after')],
  ['undated', say('undated')],
] as const;

/** Words searched in findings, work, notes and file names; filters as a sentence. */
export function SearchRoom({ words }: { words: URLSearchParams }) {
  const text = words.get('q') ?? '';
  const [typed, setTyped] = useState(text);
  const sites = useAnswer('sites', readSites);
  const query = {
    q: text,
    site: words.get('site'),
    kind: words.get('kind'),
    stage: words.get('stage'),
    from: words.get('from'),
    to: words.get('to'),
    after: words.get('after'),
  };
  const found = useAnswer(text === '' ? null : `search ${words.toString()}`, (signal) =>
    search(query, signal),
  );
  const go = (change: Readonly<Record<string, string>>) => {
    const next = new URLSearchParams(words);
    next.delete('after');
    for (const [name, value] of Object.entries(change))
      if (value === '') next.delete(name);
      else next.set(name, value);
    goTo(`/search?${next.toString()}`);
  };
  return (
    <Shell
      mark={null}
      sentence={
        <>
          {rich('searching {word} at ', {
            word: (
              <Word
                label={say('Kind')}
                value={query.kind ?? ''}
                options={kinds}
                onChoose={(kind) => {
                  go({ kind });
                }}
              />
            ),
          })}
          <Word
            label={say('Site')}
            value={query.site ?? ''}
            options={[
              ['', say('every site')],
              ...(sites.value ?? []).map((site) => [site.siteId, siteMark(site)] as const),
            ]}
            onChoose={(site) => {
              go({ site });
            }}
          />
          ,{' '}
          <Word
            label={say('Stage')}
            value={query.stage ?? ''}
            options={stagesShown}
            onChoose={(stage) => {
              go({ stage });
            }}
          />
        </>
      }
    >
      <div className="scroll">
        <section className="paper wide stack">
          <form
            className="two search-form"
            onSubmit={(event: SubmitEvent<HTMLFormElement>) => {
              event.preventDefault();
              const data = new FormData(event.currentTarget);
              const from = data.get('from');
              const to = data.get('to');
              go({
                q: typed.trim(),
                from: typeof from === 'string' ? from : '',
                to: typeof to === 'string' ? to : '',
              });
            }}
          >
            <Field label={say('Words')}>
              {(ids) => (
                <input
                  {...ids}
                  type="search"
                  value={typed}
                  onChange={(event) => {
                    setTyped(event.target.value);
                  }}
                />
              )}
            </Field>
            <Field label={say('Happened from')}>
              {(ids) => (
                <input {...ids} name="from" placeholder="1931" defaultValue={query.from ?? ''} />
              )}
            </Field>
            <Field label={say('to')}>
              {(ids) => (
                <input {...ids} name="to" placeholder="2026" defaultValue={query.to ?? ''} />
              )}
            </Field>
            <button type="submit">{say('Search')}</button>
          </form>
          {found.why ? (
            <p role="alert" className="refused">
              {found.why}
            </p>
          ) : null}
          {text !== '' && !found.value && !found.why ? (
            <p role="status">{say('searching…')}</p>
          ) : null}
          {found.value?.jump ? (
            <p>
              <Go className="act" to={pathOf(found.value.jump.fullMark)}>
                {rich('Go to {fullMark}', { fullMark: found.value.jump.fullMark })}
              </Go>
            </p>
          ) : null}
          {found.value?.items.length === 0 ? (
            <p role="status">
              {rich(
                'Nothing holds “{text}”. Try fewer words, or another spelling; accents do not matter.',
                { text },
              )}
            </p>
          ) : null}
          <ul className="lines found" aria-label={say('Found')}>
            {(found.value?.items ?? []).map((item) => (
              <li key={`${item.kind} ${item.rowId}`}>
                <span>
                  <Go className="word" to={pathOf(item.subject)}>
                    {item.title}
                  </Go>
                  <small className="quiet-line">
                    {item.subject}
                    {item.snippet ? (
                      <>
                        : <Snippet text={item.snippet} />
                      </>
                    ) : null}
                  </small>
                </span>
                <span>{item.happened ?? ''}</span>
              </li>
            ))}
          </ul>
          {found.value?.next ? (
            <p className="row">
              <button
                type="button"
                className="quiet"
                onClick={() => {
                  const next = new URLSearchParams(words);
                  next.set('after', found.value?.next ?? '');
                  goTo(`/search?${next.toString()}`);
                }}
              >
                {say('Further results')}
              </button>
            </p>
          ) : null}
        </section>
      </div>
    </Shell>
  );
}
