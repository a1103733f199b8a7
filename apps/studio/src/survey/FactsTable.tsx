import { Figure } from '../platform/figure/Figure.js';
import type { FigureOf } from '../platform/figure/figure-of.js';

/** A name, its value as said, and how it was come by. */
export type FactRow = readonly [name: string, value: string, how: FactHow];
export type FactHow = Pick<FigureOf, 'kind' | 'inputs' | 'entry'>;

/** What was measured or reckoned, a name and its value a row; each says how it was come by. */
export function FactsTable({ rows }: { rows: readonly FactRow[] }) {
  return (
    <table className="facts">
      <tbody>
        {rows.map(([name, value, how]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>
              <Figure of={name} {...how}>
                {value}
              </Figure>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
