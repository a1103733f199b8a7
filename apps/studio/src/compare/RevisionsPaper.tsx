import type { Bench } from '../bench/use-bench.js';
import type { NetSummary } from '../platform/api/nets.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { sayMade, sayMaker, saySigned, thingOfPair } from './pair-of-revisions.js';

const shownAtFirst = 6;

/** The revisions of the lead drawing, newest first: what changed, how, by whom and when. */
export function RevisionsPaper({ bench }: { bench: Bench }) {
  const { panel, nets } = bench;
  if (nets.length === 0) return null;
  const before = (net: NetSummary) =>
    nets.find((other) => other.revision < net.revision && other.layer === net.layer);
  const row = (net: NetSummary) => {
    const earlier = before(net);
    return (
      <li key={net.revision} className="revision">
        <span>
          <b>{net.revision}</b> {sayMaker(net.madeBy)}
          {net.layer === 'back' ? say(', back layer') : ''}
          {net.surface === 'plan' ? say(', in plan') : ''}
          {net.change ? <span className="change">{net.change}</span> : null}
          {net.note ? <q>{net.note}</q> : null}
          <small>
            {sayMade(net)}
            {net.signedAt ? `; ${saySigned(net)}${sayOpen(net.signedDoubts)}` : ''}
          </small>
        </span>
        <span className="revision-acts">
          {earlier ? (
            <Go
              className="word"
              to={pathOf(panel.fullMark, 'compare', thingOfPair(earlier.revision, net.revision))}
              aria-label={say('compare revision {revision} with {revision2}', {
                revision: net.revision,
                revision2: earlier.revision,
              })}
            >
              {say('compare')}
            </Go>
          ) : null}
          <Go
            className="word"
            to={`${pathOf(panel.fullMark, 'print')}?revision=${net.revision}`}
            aria-label={say('print revision {revision}', { revision: net.revision })}
          >
            {say('print')}
          </Go>
          {net.reading ? (
            <Go
              className="word"
              to={`${pathOf(panel.fullMark, 'found')}?revision=${net.revision}`}
              aria-label={say('how revision {revision} was found', { revision: net.revision })}
            >
              {say('how found')}
            </Go>
          ) : null}
        </span>
      </li>
    );
  };
  return (
    <article className="paper" aria-label={say('Revisions')}>
      <h2>{say('Revisions')}</h2>
      <ol className="lines" aria-label={say('Revisions of the lead drawing')}>
        {nets.slice(0, shownAtFirst).map(row)}
      </ol>
      {nets.length > shownAtFirst ? (
        <details className="reading">
          <summary>{rich('{nets} earlier ones', { nets: nets.length - shownAtFirst })}</summary>
          <ol className="lines">{nets.slice(shownAtFirst).map(row)}</ol>
        </details>
      ) : null}
    </article>
  );
}

const sayOpen = (doubts: number | null) =>
  doubts
    ? say(', with {doubts} {doubts, plural, one {doubt} other {doubts}} open', { doubts })
    : '';
