import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { useAnswer } from '../platform/use-answer.js';
import { csvTables } from './csv-rows.js';

/** The list that is saved, as it is saved: its tables on paper. */
export function ScheduleView({ url, mark }: { url: string; mark: string }) {
  const list = useAnswer(url, async (signal) => {
    const answer = await fetch(url, { signal });
    if (!answer.ok) {
      const problem = (await answer.json().catch(() => ({}))) as { detail?: string };
      throw new Error(
        problem.detail ?? say('The archive gave no list ({status}).', { status: answer.status }),
      );
    }
    return csvTables(await answer.text());
  });
  return (
    <div className="schedule scroll" tabIndex={0} role="region" aria-label={say('Schedule')}>
      <section className="paper wide">
        <h2>{rich('Came and glass of {mark}', { mark })}</h2>
        {list.value ? (
          list.value.map((rows, table) => <ListTable key={table} rows={rows} />)
        ) : (
          <p role="status">{list.why ?? say('making the list…')}</p>
        )}
      </section>
    </div>
  );
}

function ListTable({ rows }: { rows: readonly (readonly string[])[] }) {
  const [head = [], ...body] = rows;
  const columns = Math.max(...rows.map((row) => row.length));
  return (
    <div className="list-table" tabIndex={0} role="region" aria-label={head[0] ?? say('list')}>
      <table className="facts">
        <thead>
          <tr>
            {head.map((name, column) => (
              <th key={column} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {body.map((row, index) => (
            <tr key={index}>
              {Array.from({ length: columns }, (_, column) => (
                <td key={column}>{row[column] ?? ''}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
