import type { Proposal } from '../platform/api/shards.js';
import { say } from '../platform/language/say.js';
import { sayAreaMm2 } from '../platform/say-number.js';
import type { Table } from './use-laid.js';

/** Every shard as a list: what lies where, and what is still loose. */
export function TrayPaper({
  proposal,
  table,
  chosen,
  isTogether,
  onTogether,
  onChoose,
}: {
  proposal: Proposal;
  table: Table;
  chosen: string | null;
  isTogether: boolean;
  onTogether: (isTogether: boolean) => void;
  onChoose: (shard: string) => void;
}) {
  const laid = new Map(table.laid.map((one) => [one.shard, one]));
  const sure = new Map(proposal.placed.map(({ shard, certainty }) => [shard, certainty]));
  const loose = proposal.shards.filter(({ shard }) => !laid.has(shard)).length;
  const words = (shard: string) => {
    const one = laid.get(shard);
    if (one === undefined) return say('in the tray');
    if (one.isLocked) return say('locked');
    if (one.laidBy !== 'proposal') return say('by hand');
    const certainty = sure.get(shard);
    if (certainty === 'sure') return say('sure');
    return certainty === 'probable' ? say('probable') : say('one of several');
  };
  return (
    <section className="paper stack" aria-label={say('The tray')}>
      <div>
        <h2>{say('The tray')}</h2>
        <p className="sub">
          {say(
            '{laid, plural, one {# shard lies} other {# shards lie}} in the piece, {loose} in the tray',
            { laid: table.laid.length, loose },
          )}
        </p>
      </div>
      {proposal.isInOutline ? null : (
        <p role="note">
          {say(
            'How the shards lie in the outline could not be told. Tick “all together” and move them to their place.',
          )}
        </p>
      )}
      <ul className="shard-list">
        {proposal.shards.map(({ shard, areaMm2 }) => (
          <li key={shard}>
            <button
              type="button"
              className="quiet"
              aria-pressed={shard === chosen}
              onClick={() => {
                onChoose(shard);
              }}
            >
              <b>{shard}</b> {words(shard)}
              <small>{sayAreaMm2(areaMm2)}</small>
            </button>
          </li>
        ))}
      </ul>
      <label className="tick">
        <input
          type="checkbox"
          checked={isTogether}
          onChange={(event) => {
            onTogether(event.target.checked);
          }}
        />
        <span>{say('all together: moving one moves all')}</span>
      </label>
      <p className="row also">
        <button type="button" className="word" onClick={table.startOver}>
          {say('back to the proposal')}
        </button>
      </p>
    </section>
  );
}
