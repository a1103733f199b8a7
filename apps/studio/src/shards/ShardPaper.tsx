import { pathOfRings, viewBoxOf } from '../drawing/svg-plane.js';
import type { Proposal } from '../platform/api/shards.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { sayFixed, sayMm } from '../platform/say-number.js';
import { type Laid, pathOfFlat, transformOf } from './laid.js';
import type { Table } from './use-laid.js';

/** The chosen shard: moved, turned and locked by buttons, its joints, and the other places that its edges allow. */
export function ShardPaper({
  proposal,
  table,
  shard,
  onLeave,
}: {
  proposal: Proposal;
  table: Table;
  shard: string;
  onLeave: () => void;
}) {
  const one = table.laid.find((laid) => laid.shard === shard);
  const said = proposal.placed.find((placed) => placed.shard === shard);
  const joints = (table.told?.joints ?? []).filter(({ a, b }) => a === shard || b === shard);
  return (
    <section className="paper stack" aria-label={say('Shard {shard}', { shard })}>
      <div>
        <h2>{shard}</h2>
        <p className="sub" role="status">
          {one === undefined ? say('in the tray') : howItLies(one, said?.certainty)}
        </p>
      </div>
      {one === undefined ? (
        <p className="row">
          <button
            type="button"
            onClick={() => {
              table.lay(shard);
            }}
          >
            {say('Lay it into the piece')}
          </button>
        </p>
      ) : (
        <>
          <div className="row" role="group" aria-label={say('Move and turn')}>
            {(
              [
                [say('to the left'), -1, 0],
                [say('to the right'), 1, 0],
                [say('upwards'), 0, -1],
                [say('downwards'), 0, 1],
              ] as const
            ).map(([words, x, y]) => (
              <button
                key={words}
                type="button"
                className="quiet"
                disabled={one.isLocked}
                onClick={() => {
                  table.move(shard, x, y);
                }}
              >
                {words}
              </button>
            ))}
            {([-5, 5] as const).map((degrees) => (
              <button
                key={degrees}
                type="button"
                className="quiet"
                disabled={one.isLocked}
                onClick={() => {
                  table.turn(shard, (degrees * Math.PI) / 180);
                }}
              >
                {degrees < 0 ? say('turn left') : say('turn right')}
              </button>
            ))}
            <button
              type="button"
              className="quiet"
              disabled={one.isLocked}
              onClick={() => {
                table.flip(shard);
              }}
            >
              {say('turn over')}
            </button>
          </div>
          <div className="row">
            <button
              type="button"
              className="quiet"
              aria-pressed={one.isLocked}
              onClick={() => {
                table.change(shard, (laid) => ({ ...laid, isLocked: !laid.isLocked }));
              }}
            >
              {say('locked: it lies so')}
            </button>
            <button
              type="button"
              className="quiet"
              disabled={one.isLocked}
              onClick={() => {
                table.takeAway(shard);
              }}
            >
              {say('back into the tray')}
            </button>
          </div>
          <OtherPlaces proposal={proposal} table={table} one={one} />
          {joints.length === 0 ? (
            <p className="hint">{say('It touches no other shard.')}</p>
          ) : (
            <ul className="lines" aria-label={say('Joints of {shard}', { shard })}>
              {joints.map(({ a, b, lengthMm }) => {
                const other = a === shard ? b : a;
                return (
                  <li key={other}>
                    <span>{say('{other}, {length}', { other, length: sayMm(lengthMm) })}</span>
                    <button
                      type="button"
                      className="word"
                      onClick={() => {
                        table.setApart(shard, other, true);
                      }}
                    >
                      {say('these two do not touch')}
                    </button>
                  </li>
                );
              })}
            </ul>
          )}
        </>
      )}
      {table.apart
        .filter((pair) => pair.includes(shard))
        .map(([a, b]) => (
          <p key={`${a} ${b}`} className="row">
            <span>{say('{a} and {b} are held apart when it is asked again.', { a, b })}</span>
            <button
              type="button"
              className="word"
              onClick={() => {
                table.setApart(a, b, false);
              }}
            >
              {say('let them')}
            </button>
          </p>
        ))}
      <p className="row also">
        <button type="button" className="word" onClick={onLeave}>
          {say('the whole tray')}
        </button>
      </p>
    </section>
  );
}

type Certainty = Proposal['placed'][number]['certainty'];

function howItLies({ laidBy, isLocked }: Laid, certainty: Certainty | undefined): string {
  if (isLocked) return say('locked by a person');
  if (laidBy === 'hand') return say('laid by hand');
  if (laidBy === 'other-place') return say('at another place that its edges allow');
  const words = {
    sure: say('proposed: sure, no weak joint holds it'),
    probable: say('proposed: probable, look at its joints'),
    'one-of-several': say('proposed: one of several places, judge it by eye'),
  };
  return words[certainty ?? 'one-of-several'];
}

/** Places side by side, each with what its edges say for it. */
function OtherPlaces({ proposal, table, one }: { proposal: Proposal; table: Table; one: Laid }) {
  const said = proposal.placed.find(({ shard }) => shard === one.shard);
  if (!said || said.otherPlaces.length === 0) return null;
  const places = [
    { pose: said.pose, nats: null, laidBy: 'proposal' as const },
    ...said.otherPlaces.map((other) => ({ ...other, laidBy: 'other-place' as const })),
  ];
  return (
    <fieldset className="field">
      <legend>{say('Places that its edges allow')}</legend>
      <div className="shard-places">
        {places.slice(0, 4).map(({ pose, nats, laidBy }, i) => {
          const isHere =
            Math.hypot(pose.xMm - one.pose.xMm, pose.yMm - one.pose.yMm) < 0.01 &&
            pose.side === one.pose.side;
          return (
            <button
              key={`${pose.xMm} ${pose.yMm} ${pose.side}`}
              type="button"
              className="quiet"
              aria-pressed={isHere}
              disabled={one.isLocked}
              onClick={() => {
                table.change(one.shard, (laid) => ({
                  ...laid,
                  laidBy,
                  pose,
                }));
              }}
            >
              <PlaceThumb proposal={proposal} laid={table.laid} one={{ ...one, pose }} />
              <span>
                {nats === null
                  ? say('proposed')
                  : say('place {number}: evidence {nats}', {
                      number: i + 1,
                      nats: sayFixed(nats, 0),
                    })}
              </span>
            </button>
          );
        })}
      </div>
      <small className="hint">
        {say('Evidence weighs how well edges and paint go on; under 15 proves little by itself.')}
        <Why kind="shards-evidence" of={say('evidence')} />
      </small>
    </fieldset>
  );
}

function PlaceThumb({
  proposal,
  laid,
  one,
}: {
  proposal: Proposal;
  laid: readonly Laid[];
  one: Laid;
}) {
  const rings = new Map(proposal.shards.map(({ shard, ringMm }) => [shard, ringMm]));
  const shape = ({ shard, pose }: Laid) => (
    <path d={pathOfFlat(rings.get(shard) ?? [])} transform={transformOf(pose)} />
  );
  return (
    <svg viewBox={viewBoxOf(proposal.outlineMm, 6)} aria-hidden="true">
      <path className="shards-outline" d={pathOfRings([proposal.outlineMm])} />
      {laid
        .filter(({ shard }) => shard !== one.shard)
        .map((other) => (
          <g key={other.shard} className="thumb-other">
            {shape(other)}
          </g>
        ))}
      <g className="thumb-one">{shape(one)}</g>
    </svg>
  );
}
