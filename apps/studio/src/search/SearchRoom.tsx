import './search.css';
import { search } from '../platform/api/search.js';
import { readSites, siteMark } from '../platform/api/sites.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { Shell } from '../platform/Shell.js';
import { useAnswer } from '../platform/use-answer.js';
import { Word } from '../platform/Word.js';
import { askedOf, isAsking, withFilter, withoutFilter } from './asked.js';
import { Chips } from './Chips.js';
import { Hits } from './Hits.js';
import { KIND_WORDS } from './labels.js';
import { PastWork } from './PastWork.js';
import { QuestionForm } from './QuestionForm.js';

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
