import { sayMm } from '../platform/say-number.js';
import type { BarRow } from './say-bar.js';

/** One row a bar, the highest in the window first, as drawn; what bends beyond the limit says so in words. */
export function BarsTable({ rows }: { rows: readonly BarRow[] }) {
  const beyond = rows.filter(({ isBeyond }) => isBeyond).length;
  return (
    <>
      <p role="status">
        {beyond === 0
          ? `None of ${rows.length} bars bends beyond the limit.`
          : `${beyond} of ${rows.length} bars bend beyond the limit.`}
      </p>
      <div className="list-table one-line" tabIndex={0} role="region" aria-label="Bars">
        <table className="facts">
          <thead>
            <tr>
              {['bar', 'bends', 'stress', 'free lengths', 'holds', 'load', 'on stone', 'grows'].map(
                (name) => (
                  <th key={name} scope="col">
                    {name}
                  </th>
                ),
              )}
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.mark} className={row.isBeyond ? 'beyond' : undefined}>
                <th scope="row">{row.mark}</th>
                <td>
                  {row.deflectionMm.toFixed(1)} mm, 1 in {Math.round(row.spanOverDeflection)}
                  {row.isBeyond ? ' · beyond' : ''}
                </td>
                <td>{row.stressMPa.toFixed(0)} MPa</td>
                <td>
                  {sayMm(Math.max(...row.spansMm))}
                  {row.spansMm.length > 1 ? ` × ${row.spansMm.length}` : ''}
                </td>
                <td>{sayMm(row.tributaryMm)} of glass</td>
                <td>{row.loadNPerMm.toFixed(3)} N/mm</td>
                <td>{row.reactionN.toFixed(0)} N</td>
                <td>{row.growthMm.toFixed(1)} mm</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
