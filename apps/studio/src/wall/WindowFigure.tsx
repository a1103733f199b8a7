import { memo } from 'react';
import type { WindowPanel } from '../platform/api/windows.js';
import { PanelNet } from './PanelNet.js';
import { isPale, shadeId } from './shades.js';
import { type Shows, shadeOf } from './shown.js';
import type { WindowShape } from './window-shape.js';
import { pathData } from './window-shape.js';

/** Px on screen from which a panel's mark, and from which its leads, help. */
const markFromPx = { width: 38, height: 24 };
const leadsFromPx = 190;

/** One window as seen from inside, in its own frame, mm. `k`: screen px per mm. */
export const WindowFigure = memo(function WindowFigure({
  shape,
  panels,
  what,
  k,
  selected,
  title,
  onPanel,
  onOpen,
  onWindow,
}: {
  shape: WindowShape;
  panels: readonly WindowPanel[];
  what: Shows;
  k: number;
  selected: string | null;
  title: string;
  onPanel: (mark: string) => void;
  onOpen: (mark: string) => void;
  onWindow: () => void;
}) {
  const known = new Map(panels.map((panel) => [panel.mark, panel]));
  const px = 1 / k;
  const far = shape.heightMm * k < 170;
  return (
    <g>
      <path
        d={shape.opening}
        fill="#0b0d0e"
        fillOpacity="0.5"
        stroke="#5d676b"
        strokeWidth={2 * px}
        onClick={onWindow}
      />
      {shape.places.map((place) => {
        const panel = known.get(place.mark);
        const id = shadeId(
          what,
          panel ? shadeOf(what, panel) : what === 'work' ? 'in-place' : 'none',
        );
        const { minX, minY, maxX, maxY } = place.boundsMm;
        const [w, h] = [(maxX - minX) * k, (maxY - minY) * k];
        const withLeads = panel?.netRevision != null && w > leadsFromPx;
        return (
          <g key={place.mark} data-panel={place.mark}>
            <path
              d={pathData(place.ringMm)}
              fill={`url(#${id})`}
              stroke="#0a0b0b"
              strokeWidth={Math.min(10, 1.6 * px)}
              className="panel-shape"
              onClick={
                far
                  ? onWindow
                  : () => {
                      onPanel(place.mark);
                    }
              }
              onDoubleClick={() => {
                onOpen(place.mark);
              }}
            />
            {withLeads ? (
              <PanelNet panelId={panel.panelId} revision={panel.netRevision} place={place} />
            ) : null}
            {w > markFromPx.width && h > markFromPx.height && !withLeads ? (
              <text
                x={(minX + maxX) / 2}
                y={(minY + maxY) / 2}
                fontSize={Math.min(15, Math.max(11, h * 0.5)) * px}
                className={isPale(id) ? 'panel-mark on-pale' : 'panel-mark'}
                strokeWidth={3 * px}
              >
                {place.mark}
                {what === 'findings' && panel && panel.findings > 0 ? `: ${panel.findings}` : ''}
              </text>
            ) : null}
          </g>
        );
      })}
      {shape.bars.map((bar) => (
        <path key={bar.mark} d={bar.d} stroke="#98a2a5" strokeWidth={Math.max(14, 2 * px)} />
      ))}
      {[...shape.lights.map((light) => light.d), ...shape.tracery.map((part) => part.d)].map(
        (d) => (
          <path key={d} d={d} fill="none" stroke="#c9c3b5" strokeWidth={Math.max(18, 2.2 * px)} />
        ),
      )}
      {shape.places
        .filter((place) => place.mark === selected)
        .map((place) => (
          <path
            key={place.mark}
            d={pathData(place.ringMm)}
            fill="none"
            stroke="#fff"
            strokeWidth={4 * px}
            pointerEvents="none"
          />
        ))}
      {far ? null : <Letters shape={shape} k={k} />}
      <text
        x={shape.widthMm / 2}
        y={shape.heightMm + (far ? 22 : 46) * px}
        fontSize={(far ? 15 : 17) * px}
        className="window-name"
        onClick={onWindow}
      >
        {title}
      </text>
    </g>
  );
});

function Letters({ shape, k }: { shape: WindowShape; k: number }) {
  const px = 1 / k;
  const [first, second] = shape.rows;
  const stepPx = first && second ? Math.abs(first.yMm - second.yMm) * k : 40;
  const every = Math.max(1, Math.ceil(19 / stepPx));
  const left = Math.min(0, ...shape.lights.map((light) => light.xMm));
  return (
    <g className="grid-mark">
      {shape.rows
        .filter((row) => (row.row - 1) % every === 0)
        .map((row) => (
          <text key={row.row} x={left - 12 * px} y={row.yMm} fontSize={14 * px} textAnchor="end">
            {row.row}
          </text>
        ))}
      {shape.lights.flatMap((light) =>
        light.letters.map(({ letter, xMm }) => (
          <text
            key={letter}
            x={xMm}
            y={light.bottomMm + 15 * px}
            fontSize={15 * px}
            textAnchor="middle"
          >
            {letter}
          </text>
        )),
      )}
    </g>
  );
}
