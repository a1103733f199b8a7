import type { Bench } from '../bench/use-bench.js';
import type { NetSummary } from '../platform/api/nets.js';
import { Go } from '../platform/Go.js';
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
          {net.layer === 'back' ? ', back layer' : ''}
          {net.surface === 'plan' ? ', in plan' : ''}
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
              aria-label={`compare revision ${net.revision} with ${earlier.revision}`}
            >
              compare
            </Go>
          ) : null}
          <Go
            className="word"
            to={`${pathOf(panel.fullMark, 'print')}?revision=${net.revision}`}
            aria-label={`print revision ${net.revision}`}
          >
            print
          </Go>
          {net.reading ? (
            <Go
              className="word"
              to={`${pathOf(panel.fullMark, 'found')}?revision=${net.revision}`}
              aria-label={`how revision ${net.revision} was found`}
            >
              how found
            </Go>
          ) : null}
        </span>
      </li>
    );
  };
  return (
    <article className="paper" aria-label="Revisions">
      <h2>Revisions</h2>
      <ol className="lines" aria-label="Revisions of the lead drawing">
        {nets.slice(0, shownAtFirst).map(row)}
      </ol>
      {nets.length > shownAtFirst ? (
        <details className="reading">
          <summary>{nets.length - shownAtFirst} earlier ones</summary>
          <ol className="lines">{nets.slice(shownAtFirst).map(row)}</ol>
        </details>
      ) : null}
    </article>
  );
}

const sayOpen = (doubts: number | null) =>
  doubts ? `, with ${doubts} ${doubts === 1 ? 'doubt' : 'doubts'} open` : '';
