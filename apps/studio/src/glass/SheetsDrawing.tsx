import { labelPoint } from '#libs/net';
import { pathOfRings } from '../drawing/svg-plane.js';
import type { CutList, LaidSheet } from '../platform/api/glass.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { sayPanelMm } from '../platform/say-number.js';

/** Every sheet with its pieces on it, as it is laid on the cutting table. */
export function SheetsDrawing({
  list,
  letters,
}: {
  list: CutList;
  letters: ReadonlyMap<string, string>;
}) {
  return (
    <div className="glass-sheets" tabIndex={0} role="region" aria-label={say('Sheets to cut')}>
      {list.glasses.map((glass) =>
        glass.sheets.map((sheet, i) => (
          <figure key={`${glass.materialId} ${i}`}>
            <figcaption>
              <b>{letters.get(glass.materialId)}</b> {glass.name},{' '}
              {sheet.isOffcut
                ? say('offcut {size}', { size: sayPanelMm(sheet.widthMm, sheet.heightMm) })
                : say('sheet {number}, {size}', {
                    number: i + 1,
                    size: sayPanelMm(sheet.widthMm, sheet.heightMm),
                  })}{' '}
              <Why kind="cut-sheets" of={say('Sheets to cut')} />
            </figcaption>
            <SheetPlan sheet={sheet} />
          </figure>
        )),
      )}
    </div>
  );
}

function SheetPlan({ sheet }: { sheet: LaidSheet }) {
  const { widthMm, heightMm, pieces, offcut } = sheet;
  return (
    <svg
      viewBox={`-2 -2 ${widthMm + 4} ${heightMm + 4}`}
      role="img"
      aria-label={say('{count, plural, one {# piece} other {# pieces}} on this sheet: {list}', {
        count: pieces.length,
        list: pieces.map(({ piece }) => piece).join(', '),
      })}
    >
      <rect className="glass-blank" width={widthMm} height={heightMm} />
      {offcut === null ? null : (
        <rect
          className="glass-offcut"
          x={offcut.xMm}
          y={offcut.yMm}
          width={offcut.widthMm}
          height={offcut.heightMm}
        />
      )}
      {pieces.map(({ piece, ringMm }) => {
        const { xyMm, radiusMm } = labelPoint([ringMm.map(([x, y]) => [x, y] as const)]);
        return (
          <g key={piece}>
            <path d={pathOfRings([ringMm])} className="glass-laid" />
            <text x={xyMm[0]} y={xyMm[1]} fontSize={Math.max(8, Math.min(34, radiusMm * 0.9))}>
              {piece}
            </text>
          </g>
        );
      })}
    </svg>
  );
}
