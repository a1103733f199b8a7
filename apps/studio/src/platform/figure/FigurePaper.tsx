import { useEffect, useRef } from 'react';
import { createPortal } from 'react-dom';
import { Proven } from '../../ledger/Proven.js';
import { say } from '../language/say.js';
import { sayEntry } from '../say-entry.js';
import { explanations } from './explanations.js';
import type { FigureOf } from './figure-of.js';

/** The small paper behind a "?": what the number is, how it was come by, from what, and how far off it may be. */
export function FigurePaper({
  kind,
  of,
  inputs = [],
  entry,
  close,
}: FigureOf & { close: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  const { what, how, source, off } = explanations[kind];
  // Beside the page, not within a table's cell or a turned paper.
  return createPortal(
    <dialog
      ref={dialog}
      className="paper proof figure-paper"
      aria-label={of}
      onClose={close}
      onClick={(event) => {
        if (event.target === dialog.current) dialog.current.close();
      }}
    >
      <div className="stack">
        <div>
          <h2>{of}</h2>
          <p className="sub">{what}</p>
        </div>
        {inputs.length === 0 ? null : (
          <table className="facts">
            <caption>{say('From')}</caption>
            <tbody>
              {inputs.map(([name, value]) => (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  <td>{value}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <dl className="figure-words">
          <dt>{say('How')}</dt>
          <dd>{how}</dd>
          <dt>{say('How far off it may be')}</dt>
          <dd>{off}</dd>
          <dt>{say('Where that comes from')}</dt>
          <dd>{source}</dd>
        </dl>
        {entry ? (
          <p className="kept">
            {say('In the archive, {entrySeq}. ', { entrySeq: sayEntry(entry.place) })}
            <Proven line={entry.line} place={entry.place} />
          </p>
        ) : null}
        <div className="row">
          <button type="button" className="quiet" onClick={() => dialog.current?.close()}>
            {say('Put it down')}
          </button>
        </div>
      </div>
    </dialog>,
    document.body,
  );
}
