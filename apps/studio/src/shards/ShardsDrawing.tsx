import { type KeyboardEvent, type PointerEvent, useRef } from 'react';
import { pathOfRings, placeOf, viewBoxOf } from '../drawing/svg-plane.js';
import type { Proposal, ShardPicture } from '../platform/api/shards.js';
import { say } from '../platform/language/say.js';
import { type Laid, pathOfFlat, placed, transformOf, type Xy } from './laid.js';
import type { Table } from './use-laid.js';

const STEP_MM = 0.2;
const FAR_STEP_MM = 5;
const TURN_RAD = Math.PI / 180;
const MARGIN_MM = 22;

interface Drag {
  readonly shard: string;
  readonly kind: 'move' | 'turn';
  last: Xy;
}

/** The piece's outline with the shards in it: drag, turn by the handle, or by keys on the shard that has the focus. */
export function ShardsDrawing({
  proposal,
  pictures,
  table,
  chosen,
  onChoose,
}: {
  proposal: Proposal;
  /** of each shard: its picture and scale */
  pictures: ReadonlyMap<string, ShardPicture & { pxPerMm: number }>;
  table: Table;
  chosen: string | null;
  onChoose: (shard: string) => void;
}) {
  const board = useRef<SVGSVGElement>(null);
  const drag = useRef<Drag | null>(null);
  const outline = proposal.outlineMm as unknown as Xy[];
  const rings = new Map(proposal.shards.map(({ shard, ringMm }) => [shard, ringMm]));
  const centre = (one: Laid): Xy => placed(one.pose, table.middles.get(one.shard) ?? [0, 0]);

  const at = (event: PointerEvent) => placeOf(board.current!, event);
  const begin = (event: PointerEvent, shard: string, kind: Drag['kind']) => {
    event.stopPropagation();
    onChoose(shard);
    const last = at(event);
    if (last === null) return;
    drag.current = { shard, kind, last };
    board.current!.setPointerCapture(event.pointerId);
  };
  const go = (event: PointerEvent) => {
    const now = drag.current;
    const one = now && table.laid.find(({ shard }) => shard === now.shard);
    if (!now || !one) return;
    const place = at(event);
    if (place === null) return;
    if (now.kind === 'move') table.move(now.shard, place[0] - now.last[0], place[1] - now.last[1]);
    else {
      const [x, y] = centre(one);
      const angle = ([u, v]: Xy) => Math.atan2(v - y, u - x);
      table.turn(now.shard, angle(place) - angle(now.last));
    }
    now.last = place;
  };
  const end = () => {
    drag.current = null;
  };
  const byKey = (event: KeyboardEvent, shard: string) => {
    const step = event.shiftKey ? FAR_STEP_MM : STEP_MM;
    const acts: Readonly<Record<string, () => void>> = {
      ArrowLeft: () => {
        table.move(shard, -step, 0);
      },
      ArrowRight: () => {
        table.move(shard, step, 0);
      },
      ArrowUp: () => {
        table.move(shard, 0, -step);
      },
      ArrowDown: () => {
        table.move(shard, 0, step);
      },
      '[': () => {
        table.turn(shard, -TURN_RAD);
      },
      ']': () => {
        table.turn(shard, TURN_RAD);
      },
      '{': () => {
        table.turn(shard, -10 * TURN_RAD);
      },
      '}': () => {
        table.turn(shard, 10 * TURN_RAD);
      },
      f: () => {
        table.flip(shard);
      },
      l: () => {
        table.change(shard, (one) => ({ ...one, isLocked: !one.isLocked }));
      },
      Delete: () => {
        table.takeAway(shard);
      },
      Enter: () => {
        onChoose(shard);
      },
    };
    const act = event.ctrlKey || event.metaKey || event.altKey ? undefined : acts[event.key];
    if (act === undefined) return;
    event.preventDefault();
    act();
  };
  // the chosen one lies on top, so that it can be grasped
  const inOrder = [...table.laid].sort(
    (a, b) => Number(a.shard === chosen) - Number(b.shard === chosen),
  );
  const held = table.laid.find(({ shard }) => shard === chosen);
  return (
    <svg
      ref={board}
      className="shards-board"
      viewBox={viewBoxOf(outline, MARGIN_MM)}
      role="group"
      aria-label={say(
        'Shards in the outline of their piece. With a shard in focus: arrows move it, [ and ] turn it, F turns it over, L locks it, Delete puts it back into the tray.',
      )}
      onPointerMove={go}
      onPointerUp={end}
      onPointerCancel={end}
    >
      <path className="shards-outline" d={pathOfRings([outline])} />
      {(table.told?.missing ?? []).map(({ ringsMm }) => {
        const d = pathOfRings(ringsMm);
        return <path key={d.slice(0, 40)} className="shards-missing" d={d} />;
      })}
      {inOrder.map((one) => {
        const ringMm = rings.get(one.shard);
        const picture = pictures.get(one.shard);
        if (!ringMm) return null;
        const path = pathOfFlat(ringMm);
        const fill = `glass-of-${one.shard}`;
        return (
          <g
            key={one.shard}
            className="shard"
            data-chosen={one.shard === chosen}
            data-locked={one.isLocked}
            transform={transformOf(one.pose)}
            tabIndex={0}
            role="button"
            aria-pressed={one.shard === chosen}
            aria-label={[
              one.shard,
              one.isLocked
                ? say('locked')
                : one.laidBy === 'proposal'
                  ? say('proposed')
                  : say('by hand'),
            ].join(', ')}
            onPointerDown={(event) => {
              begin(event, one.shard, 'move');
            }}
            onFocus={() => {
              onChoose(one.shard);
            }}
            onKeyDown={(event) => {
              byKey(event, one.shard);
            }}
          >
            <path className="shard-glass" d={path} />
            {picture ? (
              <>
                {/* a pattern and no clipped picture: what is clipped would still lie in the way of a pointer */}
                <pattern
                  id={fill}
                  patternUnits="userSpaceOnUse"
                  width={picture.widthPx / picture.pxPerMm}
                  height={picture.heightPx / picture.pxPerMm}
                >
                  <image
                    href={`/iiif/3/${picture.mediaId}/full/!800,800/0/default.jpg`}
                    width={picture.widthPx / picture.pxPerMm}
                    height={picture.heightPx / picture.pxPerMm}
                    preserveAspectRatio="none"
                  />
                </pattern>
                <path d={path} fill={`url(#${fill})`} />
              </>
            ) : null}
            <path className="shard-edge" d={path} />
          </g>
        );
      })}
      {(table.told?.joints ?? []).flatMap(({ a, b, linesMm }) =>
        linesMm.map((line, i) => (
          <polyline
            // biome-ignore lint/suspicious/noArrayIndexKey: parts of one joint have no other name
            key={`${a} ${b} ${i}`}
            className="shards-joint"
            data-chosen={a === chosen || b === chosen}
            points={line.map(([x, y]) => `${x.toFixed(2)},${y.toFixed(2)}`).join(' ')}
          />
        )),
      )}
      {table.laid.map((one) => {
        const [x, y] = centre(one);
        return (
          <text key={one.shard} className="shard-number" x={x} y={y} aria-hidden="true">
            {one.shard.slice(one.shard.indexOf('s'))}
            {one.isLocked ? ' ●' : ''}
          </text>
        );
      })}
      {held && !held.isLocked ? (
        <TurnHandle
          from={centre(held)}
          onGrasp={(event) => {
            begin(event, held.shard, 'turn');
          }}
        />
      ) : null}
    </svg>
  );
}

const HANDLE_MM = 18;

/** A round handle beside the shard; keys and the buttons of its paper do the same. */
function TurnHandle({
  from: [x, y],
  onGrasp,
}: {
  from: Xy;
  onGrasp: (event: PointerEvent) => void;
}) {
  return (
    <g className="shard-handle" aria-hidden="true" onPointerDown={onGrasp}>
      <line x1={x} y1={y} x2={x} y2={y - HANDLE_MM} />
      <circle cx={x} cy={y - HANDLE_MM} r={4.5} />
    </g>
  );
}
