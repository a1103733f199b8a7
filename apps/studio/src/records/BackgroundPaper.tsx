import { Proven } from '../ledger/Proven.js';
import { type Background, readBackgrounds } from '../platform/api/backgrounds.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { useAnswer } from '../platform/use-answer.js';
import { BackgroundForm } from './BackgroundForm.js';

/** What is known of a place: said here, or of what it lies in, each line with where it was said. */
export function BackgroundPaper({ siteId, mark }: { siteId: string; mark: string }) {
  const known = useAnswer(`background ${mark}`, (signal) => readBackgrounds(mark, signal));
  const { value } = known;
  const lines = value === undefined ? [] : linesOf(value.items);
  return (
    <section className="paper stack" aria-label={say('What is known of it')}>
      <div>
        <h2>{say('What is known of it')}</h2>
        <p className="sub">{say('Stands in every record of this place and of what lies in it.')}</p>
      </div>
      {known.why ? <p role="alert">{known.why}</p> : null}
      {value && lines.length === 0 ? (
        <p>{say('Nobody said yet who keeps it, how it is protected, or who made it.')}</p>
      ) : null}
      <ul className="lines">
        {lines.map(({ label, text, from }) => (
          <li key={label}>
            <span>
              <b>{label}</b> {text}
              {from.mark === value?.mark ? null : (
                <small className="quiet-line">{rich('said of {mark}', { mark: from.mark })}</small>
              )}
            </span>
            <Proven line={siteId} place={from.entrySeq} />
          </li>
        ))}
      </ul>
      {value ? (
        <details className="how">
          <summary>{say('Say what is known')}</summary>
          <BackgroundForm
            key={value.items[0]?.version ?? 0}
            siteId={siteId}
            mark={value.mark}
            before={value.items.find((one) => one.mark === value.mark)}
            afterwards={known.again}
          />
        </details>
      ) : null}
    </section>
  );
}

interface Line {
  readonly label: string;
  readonly text: string;
  readonly from: Background;
}

/** Of each member the nearest place that says it. */
function linesOf(items: readonly Background[]): Line[] {
  const nearest = (label: string, textOf: (one: Background) => string | undefined): Line[] => {
    const from = items.find((one) => textOf(one) !== undefined);
    return from === undefined ? [] : [{ label, text: textOf(from)!, from }];
  };
  return [
    ...nearest(say('Kept by'), ({ keeper }) => keeper),
    ...nearest(say('Protection'), ({ protection }) => protection),
    ...nearest(say('Made'), ({ made }) =>
      made === undefined
        ? undefined
        : [made.happened, made.by, made.source].filter((text) => text !== undefined).join(', '),
    ),
    ...nearest(say('How it is made'), ({ technique }) => technique),
  ];
}
