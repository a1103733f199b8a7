import type { ReactNode } from 'react';
import type { NetChange } from '#libs/net';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import type { NetSummary } from '../platform/api/nets.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import type { ChangeLine } from './change-list.js';
import { type Fate, fateLook } from './fate-look.js';
import { sayMade, sayMaker, saySigned } from './pair-of-revisions.js';

const fateWords: Readonly<Record<Fate, string>> = {
  same: say('where it was'),
  was: say('where it ran before'),
  moved: say('moved'),
  added: say('added'),
  erased: say('erased'),
  altered: say('of another width, kind or profile'),
};

/** What changed, in a sentence and line by line; a line brings its place into view. */
export function ChangePaper({
  bench,
  pair,
  change,
  lines,
  chosen,
  isOverlaid,
  onChoose,
  ways,
}: {
  bench: Bench;
  pair: readonly [number, number];
  change: NetChange;
  lines: readonly ChangeLine[];
  chosen: string | null;
  isOverlaid: boolean;
  onChoose: (key: string) => void;
  ways: ReactNode;
}) {
  const { panel, nets } = bench;
  const later = nets.find(({ revision }) => revision === pair[1]);
  return (
    <section className="paper stack">
      <div>
        <h2>{rich('Revision {pair} → {pair2}', { pair: pair[0], pair2: pair[1] })}</h2>
        <p className="caption">{sentenceOf(change.sentence)}</p>
        {later?.note ? <p className="sub">“{later.note}”</p> : null}
        <ul className="made" aria-label={say('Who drew them')}>
          {pair.map((revision) => (
            <Made key={revision} net={nets.find((net) => net.revision === revision)} />
          ))}
        </ul>
      </div>
      {ways}
      {isOverlaid ? <Legend lines={lines} /> : null}
      {lines.length > 0 ? (
        <ol className="lines tall" aria-label={say('Changes')} tabIndex={0}>
          {lines.map((line) => (
            <li key={line.key}>
              <Swatch fate={line.fate} />
              {line.xyMm ? (
                <button
                  type="button"
                  className="word"
                  aria-current={line.key === chosen}
                  onClick={() => {
                    onChoose(line.key);
                  }}
                >
                  {line.words}
                </button>
              ) : (
                <span className="no-place">{line.words}</span>
              )}
            </li>
          ))}
        </ol>
      ) : null}
      <p className="hint keys">
        {rich('{kbd} next change, {kbd2} the one before, hold {kbd3} for the earlier drawing', {
          kbd: <kbd>N</kbd>,
          kbd2: <kbd>P</kbd>,
          kbd3: <kbd>B</kbd>,
        })}
      </p>
      <div className="row">
        <ToBench mark={panel.fullMark} />
      </div>
    </section>
  );
}

function Made({ net }: { net: NetSummary | undefined }) {
  return net ? (
    <li>
      <b>{net.revision}</b> {sayMaker(net.madeBy)} {sayMade(net)}
      {net.signedAt ? `; ${saySigned(net)}` : ''}
    </li>
  ) : null;
}

function Legend({ lines }: { lines: readonly ChangeLine[] }) {
  const met = new Set(lines.map(({ fate }) => fate));
  const shown = (Object.keys(fateWords) as Fate[]).filter(
    (fate) => fate === 'same' || met.has(fate) || (fate === 'was' && met.has('moved')),
  );
  return (
    <ul className="fates" aria-label={say('Key to the drawing')}>
      {shown.map((fate) => (
        <li key={fate}>
          <Swatch fate={fate} />
          {fateWords[fate]}
        </li>
      ))}
    </ul>
  );
}

function Swatch({ fate }: { fate: Fate }) {
  const { colour, dashMm, isThin } = fateLook[fate];
  return (
    <svg className="fate" viewBox="0 0 40 18" aria-hidden="true">
      <rect width="40" height="18" rx="2" fill="#171b1d" />
      <path
        d="M4 9 H36"
        stroke={colour}
        strokeWidth={isThin ? 2.4 : 7}
        {...(dashMm ? { strokeDasharray: dashMm.map((mm) => mm * 2).join(' ') } : {})}
      />
    </svg>
  );
}

const sentenceOf = (words: string) => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
