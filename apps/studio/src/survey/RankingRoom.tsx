import { CONDITION_WORDS, URGENCY_WORDS } from '#libs/vocabulary';
import { readRanking } from '../platform/api/surveys.js';
import { Figure } from '../platform/figure/Figure.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { Shell } from '../platform/Shell.js';
import { sayFixed } from '../platform/say-number.js';
import { useAnswer } from '../platform/use-answer.js';
import './survey.css';

/** Windows of a building in the order in which they ask for somebody. */
export function RankingRoom({ siteId, mark }: { siteId: string; mark: string }) {
  const found = useAnswer(siteId, (signal) => readRanking(siteId, signal));
  return (
    <Shell
      mark={mark}
      sentence={<>{rich('which windows of {b} come first', { b: <b>{mark}</b> })}</>}
    >
      <div className="scroll">
        <section className="paper wide stack" aria-label={say('Windows by urgency')}>
          <div>
            <h1>{say('Windows by urgency')}</h1>
            <div className="sub">
              <Figure kind="ranking" of={say('the order')}>
                {say('urgency, then class, extent and bulge')}
              </Figure>
            </div>
          </div>
          {found.value === undefined ? (
            <p role={found.why ? 'alert' : 'status'}>{found.why ?? say('reading the surveys…')}</p>
          ) : (
            <>
              <ol className="ranked">
                {found.value.ranked.map((row) => (
                  <li key={row.windowId}>
                    <Go className="word" to={pathOf(row.mark, 'survey')}>
                      {row.mark}: {row.title}
                    </Go>
                    <p>
                      {row.urgency === null
                        ? say('urgency not said')
                        : `${say('urgency')} ${row.urgency}, ${sayWord(URGENCY_WORDS[row.urgency as 0].label, 'urgency')}`}
                      {' · '}
                      {say(
                        'class {number}, {word}, in {worst, plural, one {# panel} other {# panels}}',
                        {
                          number: row.conditionClass,
                          word: sayWord(CONDITION_WORDS[row.conditionClass as 0].label),
                          worst: row.inWorstClass,
                        },
                      )}
                    </p>
                    <p className="hint">
                      {row.extentRatio === null
                        ? say('extent not known')
                        : say('{percent} % of the pieces', {
                            percent: sayFixed(row.extentRatio * 100, 0),
                          })}
                      {row.bulgeMm === null
                        ? null
                        : ` · ${say('stands out {bulge} mm', { bulge: sayFixed(row.bulgeMm, 1) })}`}
                      {row.unseen === 0
                        ? null
                        : ` · ${say('{unseen} of {panels} panels not seen', { unseen: row.unseen, panels: row.panels })}`}
                      {row.nextInspection === null
                        ? null
                        : ` · ${say('look again {day}', { day: row.nextInspection })}`}
                    </p>
                  </li>
                ))}
              </ol>
              {found.value.ranked.length === 0 ? (
                <p>{say('No window has been surveyed yet.')}</p>
              ) : null}
              {found.value.apart.length === 0 ? null : (
                <>
                  <h2>{say('Nobody looked yet')}</h2>
                  <p className="hint">{say('They stand apart: not seen is no good news.')}</p>
                  <ul className="lines">
                    {found.value.apart.map((row) => (
                      <li key={row.windowId}>
                        <Go className="word" to={pathOf(row.mark, 'survey')}>
                          {row.mark}: {row.title}
                        </Go>
                        <span className="count">
                          {say('{panels, plural, one {# panel} other {# panels}}', {
                            panels: row.panels,
                          })}
                        </span>
                      </li>
                    ))}
                  </ul>
                </>
              )}
              <p className="row also">
                <a className="word" href={`/v1/sites/${siteId}/ranking.csv`}>
                  {say('as a table (CSV)')}
                </a>
                <a className="word" href={`/v1/sites/${siteId}/inspections.ics`}>
                  {say('next inspections as a calendar')}
                </a>
              </p>
            </>
          )}
        </section>
      </div>
    </Shell>
  );
}
