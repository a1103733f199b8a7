import type { Quantities } from '../platform/api/estimates.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { sayCount, sayFixed } from '../platform/say-number.js';

type Range = Quantities['minutes'][number]['minutesPerMark'];

/** What an estimate is made of: what there is, and what the studio's own work took. */
export function LearnedPaper({
  told,
  words,
}: {
  told: Quantities;
  words: (operation: string) => string;
}) {
  const { drawn, undrawn, densities } = told;
  const fixed = (value: number, digits: number) => sayFixed(value, digits);
  const spread = ({ low, likely, high }: Range, digits: number) =>
    low === high
      ? fixed(likely, digits)
      : say('{likely} ({low} to {high})', {
          likely: fixed(likely, digits),
          low: fixed(low, digits),
          high: fixed(high, digits),
        });
  return (
    <section className="paper stack" aria-label={say('What it is made of')}>
      <h2>
        {say('What it is made of')} <Why kind="estimate-made-of" of={say('What it is made of')} />
      </h2>
      <table className="facts">
        <caption>
          {say('{count, plural, one {# panel is} other {# panels are}} drawn', {
            count: drawn.panels,
          })}
        </caption>
        <tbody>
          <Row name={say('area')} value={`${fixed(drawn.areaM2, 2)} m²`} />
          <Row name={say('pieces')} value={sayCount(drawn.pieces)} />
          <Row name={say('joints')} value={sayCount(drawn.joints)} />
          {drawn.leadByWidth.map(({ widthMm, metres }) => (
            <Row
              key={widthMm}
              name={say('lead of {width} mm', { width: fixed(widthMm, 1) })}
              value={`${fixed(metres, 1)} m`}
            />
          ))}
          <Row name={say('lead, reckoned')} value={`${fixed(drawn.leadKg, 1)} kg`} />
          <Row name={say('glass as cut')} value={`${fixed(drawn.glassM2, 2)} m²`} />
          <Row
            name={say('glass, at 3 mm (common practice, no source)')}
            value={`${fixed(drawn.glassKg, 1)} kg`}
          />
        </tbody>
      </table>
      {undrawn.panels === 0 ? null : (
        <table className="facts">
          <caption>
            {say('{count, plural, one {# panel is} other {# panels are}} not drawn yet', {
              count: undrawn.panels,
            })}
          </caption>
          <tbody>
            <Row name={say('area')} value={`${fixed(undrawn.areaM2, 2)} m²`} />
            {undrawn.expected === null ? null : (
              <>
                <Row name={say('pieces expected')} value={spread(undrawn.expected['pieces']!, 0)} />
                <Row name={say('joints expected')} value={spread(undrawn.expected['joints']!, 0)} />
                <Row
                  name={say('lead expected')}
                  value={`${spread(undrawn.expected['leadMetres']!, 1)} m`}
                />
              </>
            )}
          </tbody>
        </table>
      )}
      {densities === null ? (
        <p>
          {say(
            'No panel of this building is drawn yet, so nothing says how much stands on a square metre. Type what you counted.',
          )}
        </p>
      ) : (
        <table className="facts">
          <caption>
            {say(
              'On a square metre, from {count, plural, one {# drawn panel} other {# drawn panels}} of this building',
              { count: told.densitiesFrom },
            )}
          </caption>
          <tbody>
            <Row name={say('pieces')} value={spread(densities.pieces, 0)} />
            <Row name={say('joints')} value={spread(densities.joints, 0)} />
            <Row name={say('lead')} value={`${spread(densities.leadMetres, 1)} m`} />
          </tbody>
        </table>
      )}
      {told.minutes.length === 0 ? (
        <p>
          {say(
            'No campaign is closed yet whose hours were written down. When one is, its minutes are offered here and in the lines.',
          )}
        </p>
      ) : (
        <table className="facts">
          <caption>{say('Minutes for each mark, learned from closed campaigns')}</caption>
          <tbody>
            {told.minutes.map(({ operation, minutesPerMark, from, campaigns }) => (
              <tr key={operation}>
                <th scope="row">
                  {words(operation)}
                  <small className="quiet-line">{sayLearnedFrom(from, campaigns)}</small>
                </th>
                <td>{`${spread(minutesPerMark, 1)} min`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <p className="hint">{say('Median, and in brackets the range in which four of five lie.')}</p>
    </section>
  );
}

export const sayLearnedFrom = (works: number, campaigns: number): string =>
  say(
    'from {works, plural, one {# piece of work} other {# pieces of work}} in {campaigns, plural, one {# campaign} other {# campaigns}}',
    { works, campaigns },
  );

function Row({ name, value }: { name: string; value: string }) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{value}</td>
    </tr>
  );
}
