import type { Doubt } from './panel-record.js';

/** Where the tracing is not sure; choosing one brings it into view. */
export function DoubtsPaper({
  doubts,
  chosen,
  onChoose,
  onClose,
}: {
  doubts: readonly Doubt[];
  chosen: string | null;
  onChoose: (key: string) => void;
  onClose: () => void;
}) {
  return (
    <article className="paper" aria-label="Places in doubt">
      <h2>In doubt</h2>
      <p className="sub">
        Hold each against the panel. What is ringed on the drawing stays ringed until it is
        corrected.
      </p>
      {doubts.length === 0 ? <p>No place is in doubt.</p> : null}
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
        <button type="button" className="quiet" onClick={onClose}>
          Put this list away
        </button>
      </p>
    </article>
  );
}
