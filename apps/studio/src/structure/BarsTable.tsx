import { Figure } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { sayFixed, sayMm } from '../platform/say-number.js';
import type { BarRow } from './say-bar.js';

const columns = [
  [say('bends'), 'bar-deflection'],
  [say('stress'), 'bar-stress'],
  [say('free lengths'), 'bar-spans'],
  [say('holds'), 'bar-tributary'],
  [say('load'), 'bar-load'],
  [say('on stone'), 'bar-reaction'],
  [say('grows'), 'bar-growth'],
] as const;

/** One row a bar, the highest in the window first, as drawn; what bends beyond the limit says so in words. */
export function BarsTable({ rows }: { rows: readonly BarRow[] }) {
  const beyond = rows.filter(({ isBeyond }) => isBeyond).length;
  return (
    <>
      <p role="status">
        {beyond === 0
          ? say('None of {rows} bars bends beyond the limit.', { rows: rows.length })
          : say('{beyond} of {rows} bars bend beyond the limit.', { beyond, rows: rows.length })}
      </p>
      <div className="list-table one-line" tabIndex={0} role="region" aria-label={say('Bars')}>
        <table className="facts">
          <thead>
            <tr>
              <th scope="col">{say('bar')}</th>
              {columns.map(([name, kind]) => (
                <th key={name} scope="col">
                  <Figure kind={kind} of={name}>
                    {name}
                  </Figure>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.mark} className={row.isBeyond ? 'beyond' : undefined}>
                <th scope="row">{row.mark}</th>
                <td>
                  {say('{value} mm, 1 in {spanOverDeflection}', {
                    value: sayFixed(row.deflectionMm, 1),
                    spanOverDeflection: Math.round(row.spanOverDeflection),
                  })}
                  {row.isBeyond ? say(' · beyond') : ''}
                </td>
                <td>{sayFixed(row.stressMPa, 0)} MPa</td>
                <td>
                  {sayMm(Math.max(...row.spansMm))}
                  {row.spansMm.length > 1 ? ` × ${row.spansMm.length}` : ''}
                </td>
                <td>{say('{tributaryMm} of glass', { tributaryMm: sayMm(row.tributaryMm) })}</td>
                <td>{sayFixed(row.loadNPerMm, 3)} N/mm</td>
                <td>{sayFixed(row.reactionN, 0)} N</td>
                <td>{sayFixed(row.growthMm, 1)} mm</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
