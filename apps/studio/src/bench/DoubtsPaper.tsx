import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import type { Doubt } from './panel-record.js';

/** Where the tracing is not sure; choosing one brings it into view. */
export function DoubtsPaper({
  doubts,
  chosen,
  found,
  draw,
  onChoose,
  onClose,
}: {
  doubts: readonly Doubt[];
  chosen: string | null;
  /** address of the stages of the reading; null: no machine read it */
  found: string | null;
  /** address of the room where each is answered */
  draw: string;
  onChoose: (key: string) => void;
  onClose: () => void;
}) {
  const at = doubts.find(({ key }) => key === chosen);
  return (
    <article className="paper" aria-label={say('Places in doubt')}>
      <h2>{say('In doubt')}</h2>
      <p className="sub">
        {say(
          'Hold each against the panel. What is ringed on the drawing stays ringed until it is answered.',
        )}
      </p>
      {doubts.length === 0 ? <p>{say('No place is in doubt.')}</p> : null}
      <ol className="lines tall">
        {doubts.map((doubt) => (
          <li key={doubt.key}>
            <button
              type="button"
              className="word"
              aria-current={doubt.key === chosen}
              onClick={() => {
                onChoose(doubt.key);
              }}
            >
              {doubt.words}
            </button>
          </li>
        ))}
      </ol>
      <p className="row">
        {doubts.length > 0 ? (
          <Go className="act" to={draw}>
            {say('Answer them one by one')}
          </Go>
        ) : null}
        {found === null ? null : (
          <Go
            className="act quiet"
            to={found + (at ? `?at=${at.xyMm.map(Math.round).join(',')}` : '')}
          >
            {say('How was this found?')}
          </Go>
        )}
        <button type="button" className="quiet" onClick={onClose}>
          {say('Put this list away')}
        </button>
      </p>
    </article>
  );
}
